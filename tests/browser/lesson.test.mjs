// The live page of a session in a browser, with the real program behind it: predict first, then see the day.
import assert from "node:assert/strict";
import { join } from "node:path";
import { after, afterEach, before, beforeEach, test } from "node:test";
import { readFileSync } from "node:fs";
import {
    accessibilityFindings, closeBrowser, live, numberOf, openPage, overflows, picture, pullcast, source, temporaryFolder,
} from "./harness.mjs";

const course = `${source}/scenarios/course`;
const lesson = (name) => `${course}/${name}/lesson.toml`;

let server, page;
before(async () => (server = await live(lesson("1-second-pull"))));
after(async () => {
    await closeBrowser();
    await server.stop();
});
beforeEach(async () => (page = await openPage(server.url)));
afterEach(() => page.context().close());

const posts = () => page.noted.requests.filter((address) => /\/(run|study|report)$/.test(address)).length;
const fields = () => page.getByLabel(/^Hotter by/);
const answered = () => page.locator("ol.answered");
const shown = () => page.locator(".day-shown section").first().waitFor({ timeout: 60_000 });
const saysOf = (k) => answered().locator("> li").nth(k).locator("dd.said").innerText();

/// Numbers for all three questions, and the run.
async function predict(numbers) {
    for (let k = 0; k < numbers.length; ++k) await fields().nth(k).fill(String(numbers[k]));
    await page.getByRole("button", { name: "Run the day" }).click();
    await answered().waitFor({ timeout: 60_000 });
    await shown();
}

/// What the command line says of the lesson: the intake of each pull of the first variant.
function computed() {
    const folder = join(temporaryFolder(), "day");
    const run = pullcast("session", lesson("1-second-pull"), "--out", folder);
    assert.equal(run.status, 0, run.err);
    const { steps } = JSON.parse(readFileSync(join(folder, "session.json"), "utf8")).variants[0];
    return steps.filter(({ kind }) => kind === "pull").map(({ figures }) => figures);
}

test("asks first, and nothing of the answer is in the page or fetched", async () => {
    assert.equal(await page.getByRole("heading", { name: "Predict first" }).isVisible(), true);
    assert.equal(await fields().count(), 3);
    const document = JSON.parse(await page.locator("#pullcast-page").textContent());
    assert.equal(document.mode, "lesson");
    const names = (value) => value && typeof value === "object"
        ? Object.entries(value).flatMap(([key, inner]) => [key, ...names(inner)]) : [];
    for (const name of ["answers", "day", "figures", "curves", "pulls", "headline", "words", "value_of"])
        assert.ok(!names(document).includes(name), name);
    assert.equal(await page.locator(".day-shown > *").count(), 0);
    await page.waitForTimeout(500);
    assert.equal(posts(), 0, "nothing was asked of the program");
    assert.equal(await page.locator(".turning").isVisible(), false);
    assert.deepEqual(page.noted.errors, []);
    await picture(page, "lesson-ask", { fullPage: true });
});

test("does not run before every question has a prediction", async () => {
    await fields().nth(0).fill("5");
    await fields().nth(2).fill("warm");
    await page.getByRole("button", { name: "Run the day" }).click();
    assert.equal(posts(), 0);
    const missing = page.locator(".missing:visible");
    assert.deepEqual(await missing.allInnerTexts(), ["No prediction yet: a number, or which way.", "This is no number."]);
    assert.equal(await fields().nth(1).evaluate((field) => field === document.activeElement), true);
    await picture(page, "lesson-missing", { fullPage: true });
});

test("shows predictions beside the answers that the command line computes, then the day", async () => {
    await fields().nth(0).fill("4");
    await page.getByRole("group", { name: "or only which way:" }).nth(1).getByLabel("hotter").check();
    await fields().nth(2).fill("-2");
    await page.getByRole("button", { name: "Run the day" }).click();
    await answered().waitFor({ timeout: 60_000 });
    await shown();
    assert.equal(posts(), 1);
    const pulls = computed();
    const moved = (key, pull) => pulls[pull][key].value - pulls[0][key].value;
    const said = [moved("intake_start", 1), moved("intake_redline", 1), moved("intake_redline", 2)];
    for (const [k, si] of said.entries()) {
        const text = await saysOf(k);
        assert.ok(text.includes(Math.abs(si).toFixed(1)), `${text} is not ${si}`);
        assert.ok(text.includes(si < 0 ? "cooler" : "hotter"), text);
    }
    const items = answered().locator("> li");
    assert.match(await items.nth(0).innerText(), new RegExp(`${Math.abs(4 - said[0]).toFixed(1)}\\sK, yours is ${said[0] > 4 ? "cooler" : "hotter"}`));
    assert.match(await items.nth(1).innerText(), /Your way is\s+the same/);
    assert.match(await items.nth(2).innerText(), /2\.0\sK cooler/);
    assert.equal(await page.getByRole("heading", { name: "Predict first" }).isVisible(), false);
    assert.equal(await page.locator(".turning").isVisible(), true);
    assert.deepEqual(await accessibilityFindings(page), []);
    assert.deepEqual(page.noted.errors, []);
    await picture(page, "lesson-answered", { fullPage: true });
});

test("can be skipped, which is said plainly", async () => {
    await page.getByRole("button", { name: "I'd rather see it" }).click();
    await answered().waitFor({ timeout: 60_000 });
    assert.equal(await answered().getByText("nothing (you left it out)").count(), 3);
    await shown();
});

test("keeps a prediction through the unit switch, and shows answers in the other system", async () => {
    await fields().nth(0).fill("5");
    await page.getByRole("radio", { name: "US" }).check();
    assert.equal(await fields().nth(0).inputValue(), "9.0");
    await fields().nth(1).fill("1.8");
    await fields().nth(2).fill("3.6");
    await page.getByRole("button", { name: "Run the day" }).click();
    await answered().waitFor({ timeout: 60_000 });
    const us = numberOf((await saysOf(0)).match(/[\d.]+/)[0]);
    await page.getByRole("radio", { name: "metric" }).check();
    const metric = numberOf((await saysOf(0)).match(/[\d.]+/)[0]);
    assert.ok(Math.abs(us / 1.8 - metric) < 0.1, `${us} and ${metric}`);
    assert.match(await answered().locator("> li").nth(0).innerText(), /You said\s+5\.0/);
});

test("a number sets the way, and another way takes its place", async () => {
    const ways = page.getByRole("group", { name: "or only which way:" }).nth(0);
    await fields().nth(0).fill("-3");
    assert.equal(await ways.getByLabel("cooler").isChecked(), true);
    await fields().nth(0).fill("0.4");
    assert.equal(await ways.getByLabel("about the same").isChecked(), true);
    await ways.getByLabel("hotter").check();
    assert.equal(await fields().nth(0).inputValue(), "");
});

test("a turned knob asks again, and the run before stays for comparison", async () => {
    await predict([5, 5, 5]);
    const before = await saysOf(0);
    await page.locator("#knob-wait-text").fill("8 min");
    await page.locator("#knob-wait-text").press("Enter");
    await page.getByRole("heading", { name: "What will this change?" }).waitFor();
    assert.equal(posts(), 1, "nothing was run yet");
    assert.equal(await page.getByText(`The run before: ${before}`).count(), 1);
    assert.equal(await fields().nth(0).inputValue(), "");
    await picture(page, "lesson-turned", { fullPage: true });
    for (let k = 0; k < 3; ++k) await fields().nth(k).fill("6");
    await page.getByRole("button", { name: "Run the day" }).click();
    await page.getByText(/This run: idling between pulls: 8(\.0)?\smin\. The run before: as the lesson has it\./).waitFor({ timeout: 60_000 });
    assert.equal(posts(), 2);
    const now = await saysOf(0);
    assert.notEqual(now, before);
    const item = answered().locator("> li").nth(0);
    assert.match(await item.innerText(), /The run before/);
    assert.ok((await item.innerText()).includes(before));
    await page.getByRole("heading", { name: "What it changed, pull by pull" }).waitFor();
    assert.deepEqual(await accessibilityFindings(page), []);
    assert.deepEqual(page.noted.errors, []);
    await picture(page, "lesson-compared", { fullPage: true });
    await page.getByRole("button", { name: "Put all back" }).click();
    await page.getByRole("heading", { name: "What will this change?" }).waitFor();
});

test("answers a wrong value at its knob and keeps what is shown", async () => {
    await predict([5, 5, 5]);
    await page.locator("#knob-wait-text").fill("2 kg");
    await page.locator("#knob-wait-text").press("Enter");
    await page.getByRole("button", { name: "I'd rather see it" }).click();
    const complaint = page.locator("#knob-wait-error");
    await complaint.waitFor({ state: "visible" });
    assert.match(await complaint.innerText(), /2 kg/);
    assert.ok(await answered().isVisible());
    assert.deepEqual(page.noted.errors.filter((e) => !e.includes("422")), []);
});

test("can be stopped while it runs, and run again", async () => {
    await page.route("**/run", async (route) => {
        await new Promise((go) => setTimeout(go, 1500));
        await route.continue().catch(() => {});
    });
    await page.getByRole("button", { name: "I'd rather see it" }).click();
    await page.getByRole("button", { name: "Stop" }).click();
    await page.getByText("Stopped; nothing is shown of it.").waitFor();
    assert.equal(await answered().count(), 0);
    await page.unroute("**/run");
    await page.getByRole("button", { name: "I'd rather see it" }).click();
    await answered().waitFor({ timeout: 60_000 });
});

test("is worked by keyboard alone", async () => {
    const tabTo = async (match) => {
        for (let k = 0; k < 60; ++k) {
            await page.keyboard.press("Tab");
            if (await page.evaluate((text) => document.activeElement.id.includes(text) || document.activeElement.textContent === text, match)) return;
        }
        assert.fail(`Tab does not come to ${match}`);
    };
    for (const number of ["5", "2", "3"]) {
        await tabTo("question");
        await page.keyboard.type(number);
        await page.keyboard.press("Tab"); // over the ways, which the number has set
    }
    await page.keyboard.press("Enter");
    if (posts() === 0) {
        await tabTo("Run the day");
        await page.keyboard.press("Enter");
    }
    await answered().waitFor({ timeout: 60_000 });
    assert.match(await page.evaluate(() => document.activeElement.textContent), /What you said/, "the answers are where reading goes on");
    await tabTo("knob-wait");
    await page.keyboard.press("ArrowRight");
    await page.getByRole("heading", { name: "What will this change?" }).waitFor();
});

for (const [name, window] of [["light", {}], ["dark", { colorScheme: "dark" }], ["phone", { width: 390, height: 844 }], ["narrow", { width: 360, height: 740 }]])
    test(`is read without eyes or pointer as well as with them (${name})`, async () => {
        const other = await openPage(server.url, window);
        assert.deepEqual(await accessibilityFindings(other), []);
        assert.equal(await overflows(other), false);
        await picture(other, `lesson-ask-${name}`, { fullPage: true });
        await other.getByRole("button", { name: "I'd rather see it" }).click();
        await other.locator(".day-shown section").first().waitFor({ timeout: 60_000 });
        await other.waitForTimeout(500);
        assert.deepEqual(await accessibilityFindings(other), []);
        assert.equal(await overflows(other), false);
        await picture(other, `lesson-${name}`, { fullPage: true });
        await other.context().close();
    });

test("a folder opens as a course whose lessons are linked, and asks no other machine", async () => {
    const own = await live(course);
    const list = await openPage(own.url);
    const links = list.locator(".lesson-list a");
    assert.equal(await links.count(), 6);
    assert.deepEqual(await accessibilityFindings(list), []);
    await picture(list, "course");
    await links.nth(1).click();
    await list.getByRole("heading", { level: 1, name: "Start temperature is not the whole story" }).waitFor();
    await picture(list, "course-lesson");
    await list.getByRole("link", { name: /^Next:/ }).click();
    await list.getByRole("heading", { level: 1, name: "A bigger core on a small pump" }).waitFor();
    await list.getByRole("button", { name: "I'd rather see it" }).click();
    await list.locator("ol.answered").waitFor({ timeout: 60_000 });
    for (const address of list.noted.requests) assert.ok(address.startsWith(new URL(own.url).origin), address);
    assert.deepEqual(list.noted.errors, []);
    await list.context().close();
    await own.stop();
});

test("the instructor's page holds every lesson's questions with their answers, and opens from disk", async () => {
    const file = join(temporaryFolder(), "answers.html");
    const run = pullcast("answers", course, "--page", file);
    assert.equal(run.status, 0, run.err);
    const answers = await openPage(file);
    assert.equal(await answers.locator("h2", { hasText: /^\d\. / }).count(), 6);
    const pulls = computed();
    const first = answers.locator("ol.questions").first().locator(".said").first();
    assert.ok((await first.innerText()).includes((pulls[1].intake_start.value - pulls[0].intake_start.value).toFixed(1)));
    assert.ok(run.out.includes((pulls[1].intake_start.value - pulls[0].intake_start.value).toFixed(1)));
    assert.deepEqual(await accessibilityFindings(answers), []);
    assert.equal(await overflows(answers), false);
    assert.deepEqual(answers.noted.errors, []);
    assert.equal(answers.noted.requests.length, 1);
    await picture(answers, "answers", { fullPage: true });
    await answers.context().close();
});
