// The page of a session in a browser. Its numbers are checked against session.json by unit factors of our own.
import assert from "node:assert/strict";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import { accessibilityFindings, closeBrowser, dayOf, numberOf, openPage, overflows, picture, shown, source, temporaryFolder,
    writeStudy } from "./harness.mjs";

after(closeBrowser);

// Two variants whose cool-downs end at different times, one of them early by what it waits for.
const waiting = `
title = "A day <i>&</i> its pulls"
question = "how long to wait?"
note = "An invented day."
rig = "RIG"
[variant.slim]
title = "slim core"
[variant.deep]
title = "deep core"
[variant.deep.set]
"cooler.parts.core" = "deep-core"
[session]
steps = ["pull", { repeat = ["stand", "cool", "pull"], times = 2 }]
[step.pull]
title = "full throttle"
kind = "pull"
[step.stand]
title = "stands"
kind = "held"
lasts = "20 s"
[step.cool]
title = "cools <down>"
kind = "held"
lasts = "10 min"
until = { channel = "reservoir.coolant.T", below = "27.2 degC" }
[step.cool.set]
"front.face_velocity" = "6 m/s"
`;

const halfDigit = (text) => 0.5 * 10 ** -(text.split(".")[1]?.length ?? 0) * (1 + 1e-9);
const near = (text, expected, what) => assert.ok(Math.abs(numberOf(text) - expected) <= halfDigit(text), `${what}: ${text} for ${expected}`);
const difference = (si, unit) => (unit === "°F" ? 1.8 * si : shown(si, unit) - shown(0, unit));
const seconds = (text) => { const [m, s] = text.split(":").map(Number); return 60 * m + s; };
const pullsOf = (variant) => variant.steps.filter((step) => step.kind === "pull");

// The columns of the first table, and the unit that each is shown in.
const columns = [["intake_start", "°C", "°F"], ["intake_redline", "°C", "°F"], ["charge_redline", "°C", "°F"],
    ["boost_redline", "kPa", "psi"], ["crank_power", "kW", "hp"], ["knock_margin", "deg", "deg"]];

async function expectPulls(page, day, system) {
    const bodies = await page.$$eval(".day-pulls tbody", (all) => all.map((body) => [...body.querySelectorAll("tr:not(.group)")].map((row) => ({
        hottest: row.classList.contains("hottest"), wait: row.querySelector("td:nth-of-type(2)").textContent,
        numbers: [...row.querySelectorAll("td.number")].map((cell) => [cell.firstChild.textContent, cell.querySelector(".below")?.textContent]),
    }))));
    assert.equal(bodies.length, day.variants.length);
    for (const [v, variant] of day.variants.entries()) {
        const pulls = pullsOf(variant);
        assert.equal(bodies[v].length, pulls.length);
        const ends = pulls.map((p) => p.figures.intake_redline.value);
        assert.deepEqual(bodies[v].map((row) => row.hottest), ends.map((e) => e === Math.max(...ends)));
        for (const [k, pull] of pulls.entries())
            for (const [c, [key, metric, us]] of columns.entries()) {
                const unit = system === "us" ? us : metric, [text, change] = bodies[v][k].numbers[c];
                const value = pull.figures[key].value;
                near(text, shown(value, unit), `${key} of pull ${k + 1}`);
                if (k > 0) near(change, difference(value - pulls[0].figures[key].value, unit), `change of ${key}`);
            }
    }
}

let made, page;
before(async () => {
    made = dayOf(writeStudy(waiting));
    assert.equal(made.run.status, 0, made.run.err);
    page = await openPage(made.file);
    await page.waitForSelector(".day-pulls");
});

const bands = () => page.$$eval(".band", (all) => all.map((b) => ({
    name: b.getAttribute("aria-label"), kind: b.className, hidden: b.hidden, pressed: b.getAttribute("aria-pressed") === "true",
    left: parseFloat(b.style.left), width: parseFloat(b.style.width), strip: [...document.querySelectorAll(".step-strip")].indexOf(b.closest(".step-strip")),
})));
const plot = (name) => page.getByRole("figure", { name, exact: true });

describe("the page of a session", () => {
    test("asks for nothing else, raises no error, and shows no text as markup", async () => {
        await page.evaluate(() => scrollTo(0, document.body.scrollHeight));
        await page.waitForTimeout(300);
        assert.deepEqual(page.noted.errors, []);
        assert.deepEqual(page.noted.requests, [`file://${made.file}`]);
        assert.equal(await page.locator("h1").innerText(), "A day <i>&</i> its pulls");
        assert.deepEqual(await page.locator("h2").allInnerTexts(), ["Which pull was hotter, and how long to wait", "The whole day",
            "Pull over pull", "Where the heat of each pull went", "How the start comes back", "What a steady calculation would have said",
            "Warnings", "Cautions", "Models and assumptions", "Changes and parts", "How this was computed"]);
        const text = await page.locator("body").innerText();
        assert.ok(!/\b(undefined|NaN|null|Infinity)\b/.test(text), text.match(/.{20}\b(undefined|NaN|null|Infinity)\b/)?.[0]);
        for (const caution of made.day.cautions) assert.ok(text.includes(caution), caution);
        assert.ok(readFileSync(made.file).length < 1e6);
    });

    test("names the steps as they were run, and tells which ended early", async () => {
        const all = await bands();
        const strips = made.day.variants.map((v) => v.steps);
        assert.equal(all.length, strips.flat().length); // the two days do not lie alike
        for (const [s, steps] of strips.entries()) {
            const own = all.filter((band) => band.strip === s);
            const end = Math.max(...strips.flat().map((step) => step.end_s)), begin = strips[0][0].begin_s;
            let pulls = 0;
            for (const [k, step] of steps.entries()) {
                const name = step.kind === "pull" ? `pull ${++pulls}` : { stand: "stands", cool: "cools <down>" }[step.step];
                const [, title, from, to] = own[k].name.match(/^(.*): (\d+:\d+) to (\d+:\d+), ended by/);
                assert.equal(title, name);
                assert.ok(Math.abs(seconds(from) - step.begin_s) <= 0.5001 && Math.abs(seconds(to) - step.end_s) <= 0.5001, own[k].name);
                assert.equal(own[k].kind.includes("early"), step.ended_early);
                assert.equal(/fell to/.test(own[k].name), step.step === "cool");
                assert.ok(Math.abs(own[k].left - (100 * (step.begin_s - begin)) / (end - begin)) < 0.05, `${name} at ${own[k].left} %`);
                assert.ok(Math.abs(own[k].width - (100 * (step.end_s - step.begin_s)) / (end - begin)) < 0.05, `${name} takes ${own[k].width} %`);
            }
        }
        assert.ok(made.day.variants.some((v) => v.steps.some((step) => step.ended_early)));
    });

    test("shows each pull's figures and changes, in metric and in US units", async () => {
        await expectPulls(page, made.day, "metric");
        await page.getByRole("radio", { name: "US" }).check();
        await expectPulls(page, made.day, "us");
        assert.match(await page.locator(".lead").innerText(), /°F/);
        await page.getByRole("radio", { name: "metric" }).check();
        await expectPulls(page, made.day, "metric");
    });

    test("tells how long to wait, as session.json does", async () => {
        const rows = await page.$$eval(".waits tbody", (all) => all.map((body) => [...body.querySelectorAll("tr:not(.group)")].map((row) => [...row.cells].map((c) => c.textContent))));
        for (const [v, variant] of made.day.variants.entries()) {
            const watched = variant.recovery.filter((r) => r.watched_s > 0);
            assert.equal(rows[v].length, watched.length);
            for (const [k, r] of watched.entries()) {
                const [, wait, run, intake, coolant] = rows[v][k];
                if (r.comparable_after_s === null) assert.match(wait, /not within/);
                else {
                    const [, m, s] = wait.replaceAll("\u00a0", " ").match(/^(?:(\d+) min )?(\d+) s$/);
                    assert.ok(Math.abs(60 * Number(m ?? 0) + Number(s) - r.comparable_after_s) <= 0.5001, wait);
                }
                assert.ok(Math.abs(seconds(run) - r.watched_s) <= 0.5001);
                near(intake, r.intake_left_K, "intake");
                near(coolant, r.coolant_left_K, "coolant");
            }
        }
    });

    test("draws the heat of each pull to one scale, and the figures beside it", async () => {
        const rows = await page.$$eval(".heat-pieces", (all) => all.map((bar) => [...bar.querySelectorAll(".piece")].map((p) =>
            [p.dataset.key, parseFloat(p.style.width)])));
        const pulls = made.day.variants.flatMap(pullsOf);
        assert.equal(rows.length, pulls.length);
        const joules = (pull) => ({ ...pull.heat.stored, ...pull.heat.left });
        const [[firstKey, firstWidth]] = rows[0], scale = firstWidth / Math.abs(joules(pulls[0])[firstKey]);
        for (const [k, row] of rows.entries()) {
            assert.equal(row.length, 8);
            for (const [key, width] of row) assert.ok(Math.abs(width - scale * Math.abs(joules(pulls[k])[key])) < 0.01, `${key}: ${width} %`);
        }
        const drawer = page.locator("details", { has: page.locator(".heat-table") }).first();
        await drawer.locator("summary").click();
        const texts = await drawer.locator("tbody tr").evaluateAll((all) => all.map((row) => [row.cells[0].textContent, row.cells[1].firstChild.textContent]));
        const first = pulls[0], sum = (part) => Object.values(part).reduce((a, b) => a + b);
        near(texts.find(([name]) => name === "metal of the core")[1], first.heat.stored.core / 1e3, "core");
        near(texts.find(([name]) => name === "all stored")[1], sum(first.heat.stored) / 1e3, "stored");
        near(texts.find(([name]) => name === "all that left")[1], sum(first.heat.left) / 1e3, "left");
        near(texts.find(([name]) => name === "all that went in")[1], sum(first.heat.in) / 1e3, "in");
        assert.match(texts.at(-1)[0], /residual/);
        await drawer.locator("summary").click();
    });

    test("zooms into a step by its band and by the list, and back", async () => {
        await plot("intake temperature (sensor)").first().scrollIntoViewIfNeeded();
        const step = page.locator(".step-choice select"), whole = page.getByRole("button", { name: "Whole day" });
        assert.equal(await whole.isDisabled(), true);
        await page.locator(".step-strip").first().locator(".band").nth(3).click(); // the second pull
        let shownBands = (await bands()).filter((b) => b.strip === 0 && b.width > 50);
        assert.deepEqual(shownBands.map((b) => b.name.split(":")[0]), ["pull 2"]);
        assert.ok(shownBands[0].pressed && Math.abs(shownBands[0].width - 100) < 0.01);
        assert.match(await step.evaluate((select) => select.selectedOptions[0].textContent), /^pull 2/);
        await page.waitForTimeout(300);
        await picture(page, "day-step");
        await page.getByRole("button", { name: /later/ }).click();
        assert.match(await step.evaluate((select) => select.selectedOptions[0].textContent), /^stands/);
        await whole.click();
        assert.ok((await bands()).every((b) => !b.pressed && !b.hidden));
        assert.equal(await step.inputValue(), "-1");
        await step.selectOption({ index: 1 });
        assert.equal((await bands()).find((b) => b.pressed).name.split(":")[0], "pull 1");
        await whole.click();
    });

    test("reads a time of the day at the cursor, with the keyboard too, to the decimals shown", async () => {
        const figure = plot("coolant into the core").first();
        await figure.scrollIntoViewIfNeeded();
        const box = figure.locator(".plot-box");
        await box.focus();
        await page.keyboard.press("Home");
        assert.match(await figure.locator(".plot-where").innerText(), /^at 0:0\d/);
        const values = await figure.locator(".plot-value").allInnerTexts();
        const start = JSON.parse(await page.locator("#pullcast-page").textContent()).variants.map((v) => v.start.coolant);
        values.forEach((text, v) => near(text, shown(start[v], "°C"), "coolant at the start"));
        await page.keyboard.press("+");
        assert.equal(await page.getByRole("button", { name: "Whole day" }).isDisabled(), false);
        await page.keyboard.press("0");
        assert.equal(await page.getByRole("button", { name: "Whole day" }).isDisabled(), true);
        await page.keyboard.press("Escape");
    });

    test("lets the reader choose variants, curves and pulls", async () => {
        const section = page.getByRole("region", { name: "The whole day" });
        const keys = () => plot("intake temperature (sensor)").first().locator(".plot-key .mark").allInnerTexts();
        await section.getByLabel("Variants").selectOption({ label: "B deep core" });
        assert.deepEqual(await keys(), ["B"]);
        assert.equal(await page.locator(".step-strip").count(), 1);
        await section.getByLabel("Variants").selectOption({ label: "all variants" });
        assert.deepEqual(await keys(), ["A", "B"]);
        const count = () => section.locator("figure.plot").count();
        const before = await count();
        await section.locator(".curve-choice summary").click();
        await section.getByRole("checkbox", { name: "coolant in the reservoir" }).check();
        assert.equal(await count(), before + 1);
        await section.getByRole("checkbox", { name: "coolant in the reservoir" }).uncheck();
        assert.equal(await count(), before);
        await section.locator(".curve-choice summary").click();
        const over = page.getByRole("region", { name: "Pull over pull" });
        const figure = over.getByRole("figure", { name: "charge temperature" });
        assert.deepEqual(await figure.locator(".plot-key .mark").allInnerTexts(), ["1", "2", "3"]);
        await over.getByLabel("Shown").selectOption({ label: "pull 3 of all variants" });
        assert.deepEqual(await figure.locator(".plot-key .mark").allInnerTexts(), ["A", "B"]);
        await over.getByRole("radio", { name: "engine speed" }).check();
        await figure.scrollIntoViewIfNeeded();
        await page.waitForTimeout(200);
        await picture(page, "day-pulls");
        await over.getByLabel("Shown").selectOption({ index: 0 });
        // The last values are the figures at the end of each pull.
        const texts = await figure.locator(".plot-value").allInnerTexts();
        pullsOf(made.day.variants[0]).forEach((pull, k) => near(texts[k], shown(pull.figures.charge_redline.value, "°C"), `charge of pull ${k + 1}`));
    });

    test("says what a steady calculation would have said, in figures beside the first pull", async () => {
        const section = page.getByRole("region", { name: "What a steady calculation" });
        const steady = made.day.variants[0].steady_figures.charge_redline.value;
        const numbers = (await section.locator("p").first().innerText()).match(/[\d.]+(?=\s°C)/g);
        near(numbers[0], shown(steady, "°C"), "steady charge");
        near(numbers[1], shown(pullsOf(made.day.variants[0])[0].figures.charge_redline.value, "°C"), "end of pull 1");
    });

    for (const colorScheme of ["light", "dark"])
        test(`has no accessibility findings, ${colorScheme}`, async () => {
            const other = await openPage(made.file, { colorScheme });
            await other.waitForSelector(".day-pulls");
            for (const drawer of await other.locator(".day-shown details > summary").all()) await drawer.click();
            await other.waitForTimeout(400);
            assert.deepEqual(await accessibilityFindings(other), []);
            assert.deepEqual(other.noted.errors, []);
            await picture(other, `day-${colorScheme}`, { fullPage: true });
            await other.close();
        });

    test("fits a phone, in US units and in the dark, and its strip stands over the plots", async () => {
        const phone = await openPage(made.file, { width: 390, height: 800, colorScheme: "dark" });
        await phone.getByRole("radio", { name: "US" }).check();
        assert.equal(await overflows(phone), false);
        for (const name of [".rise", ".in-short", ".band"])
            for (const part of await phone.locator(name).all()) {
                const box = await part.boundingBox();
                assert.ok(box.x >= 0 && box.x + box.width <= 391, `${name} ends at ${box.x + box.width}`);
            }
        assert.deepEqual(await accessibilityFindings(phone), []);
        assert.deepEqual(phone.noted.errors, []);
        await picture(phone, "day-phone", { fullPage: true });
        await phone.close();
    });

    test("prints its tables whole", async () => {
        const paper = await openPage(made.file, { width: 720 });
        await paper.waitForTimeout(300);
        await paper.emulateMedia({ media: "print" });
        await paper.evaluate(() => dispatchEvent(new Event("beforeprint")));
        await paper.waitForTimeout(300);
        const tooWide = await paper.$$eval("table", (all) => all.filter((t) => t.getBoundingClientRect().width > document.body.clientWidth + 1).map((t) => t.className));
        assert.deepEqual(tooWide, []);
        await picture(paper, "day-print", { fullPage: true });
        await paper.close();
    });
});

describe("days that are not as one expects", () => {
    const folder = temporaryFolder();
    /// The page with another document.
    function pageWith(change) {
        const html = readFileSync(made.file, "utf8");
        const at = html.match(/(<script type="application\/json" id="pullcast-page">)([\s\S]*?)<\/script>/);
        const data = JSON.parse(at[2]);
        change(data);
        const file = join(folder, "changed.html");
        writeFileSync(file, html.replace(at[0], () => `${at[1]}${JSON.stringify(data).replaceAll("<", "\\u003c")}</script>`));
        return openPage(file);
    }

    test("a variant that failed is told, and the other is shown", async () => {
        const other = await pageWith((day) => Object.assign(day.variants[1], { failure: "the belt <came> off", steps: [], pulls: [], time: [], speed: [],
            curves: {}, headline: { metric: "", us: "" }, steady: null, ledger: null }));
        assert.ok(await other.getByText("Did not finish: the belt <came> off").isVisible());
        assert.equal(await other.locator(".day-pulls tbody").count(), 1);
        assert.deepEqual(other.noted.errors, []);
        await other.close();
    });

    test("a day without pulls, of one variant", async () => {
        const { run, file } = dayOf(writeStudy(`rig = "RIG"\n[variant.car]\n[session]\nsteps = ["stand"]\n[step.stand]\nkind = "held"\nlasts = "30 s"\n`));
        assert.equal(run.status, 0, run.err);
        const other = await openPage(file);
        assert.ok(await other.getByText("There was no pull on this day.").isVisible());
        assert.equal(await other.locator(".band").count(), 1);
        assert.equal(await other.getByRole("heading", { name: "Pull over pull" }).count(), 0);
        assert.deepEqual(other.noted.errors, []);
        await other.close();
    });

    test("a single pull has nothing after it", async () => {
        const { file } = dayOf(join(source, "scenarios/course/2-start-is-not-all/lesson.toml"), "--units", "us");
        const other = await openPage(file);
        assert.ok(await other.getByText("Nothing was run after a pull.").isVisible());
        assert.ok(await other.getByText(/Bringing the start of the coolant down by 1\s°F lowers the end by 0\.\d\d\s°F/).isVisible());
        assert.equal(await other.locator(".wait").count(), 0);
        assert.deepEqual(other.noted.errors, []);
        await other.close();
    });
});
