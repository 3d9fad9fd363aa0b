// The live page in a browser, with the real program behind it.
import assert from "node:assert/strict";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, beforeEach, afterEach, test } from "node:test";
import {
    accessibilityFindings, closeBrowser, live, numberOf, openPage, overflows, picture, pullcast, shown, source, study, temporaryFolder, writeStudy,
} from "./harness.mjs";

let server, page;
before(async () => (server = await live(study("pulley-or-core"))));
after(async () => {
    await closeBrowser();
    await server.stop();
});
beforeEach(async () => {
    page = await openPage(server.url);
    watch(page);
    await settled();
});
afterEach(() => page.context().close());

const runs = () => page.evaluate(() => (window.pullcastTimings ?? []).length);
const knob = (name) => page.locator(`#knob-${name}`);
const field = (name) => page.locator(`#knob-${name}-text`);
const headline = () => page.locator(".result-head .lead").innerText();
const cell = (row, column) => page.locator("table.figures tr", { has: page.locator("th", { hasText: row }) }).first()
    .locator("td.number").nth(column).evaluate((td) => td.firstChild.textContent);

/// Requests of the page that are on their way, and when the last one began or ended.
let under_way = new Set(), moved = 0;
function watch(opened) {
    under_way = new Set(), moved = Date.now();
    opened.on("request", (r) => (under_way.add(r), (moved = Date.now())));
    for (const end of ["requestfinished", "requestfailed"]) opened.on(end, (r) => (under_way.delete(r), (moved = Date.now())));
}
/// Until nothing is on its way any more, however slow the machine, and words and pictures stand.
async function settled() {
    await page.waitForLoadState("networkidle");
    await page.waitForFunction(() => document.querySelectorAll("table.figures tbody tr").length > 0);
    await page.waitForTimeout(400);
    while (under_way.size > 0 || Date.now() - moved < 400) await page.waitForTimeout(50);
}
async function slide(name, steps) {
    await knob(name).focus();
    for (let k = 0; k < Math.abs(steps); ++k) await page.keyboard.press(steps > 0 ? "ArrowRight" : "ArrowLeft");
    await settled();
}
async function download(button) {
    const [saved] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: button }).click()]);
    return { name: saved.suggestedFilename(), text: readFileSync(await saved.path(), "utf8") };
}

test("opens with the base and its knobs, and asks no other machine", async () => {
    assert.deepEqual(page.noted.errors, []);
    for (const address of page.noted.requests) assert.ok(address.startsWith(new URL(server.url).origin), address);
    for (const name of ["pulley", "core", "pump", "fuel", "ambient"]) assert.ok(await page.locator(`[id^="knob-${name}"], [name="knob-${name}"]`).count(), name);
    assert.equal(await cell("peak power, crank", 0), await cell("peak power, crank", 1), "not turned yet: base and live are one");
    assert.ok(await page.getByText("A simulated knock margin is not permission").first().isVisible());
    await picture(page, "live");
});

test("runs the engine on each move of a slider, and ends with the last", async () => {
    const before = await cell("charge at redline", 1);
    await slide("ambient", 12);
    assert.ok(await runs() > 0);
    const warm = await cell("charge at redline", 1);
    assert.ok(numberOf(warm) > numberOf(before) + 3, `${before} then ${warm}`);
    assert.match(await headline(), /hotter/);
    await slide("ambient", -12);
    assert.equal(await cell("charge at redline", 1), before, "back where it was, and so is the answer");
    const timings = await page.evaluate(() => window.pullcastTimings);
    for (const t of timings) assert.ok(t.input_to_drawn >= t.simulated && t.simulated > 0);
    assert.deepEqual(page.noted.errors, []);
});

test("draws the last of many moves, in whatever order the answers come", async () => {
    await page.evaluate(() => {
        const slider = document.querySelector("#knob-ambient");
        for (let k = 0; k <= 150; ++k) {
            slider.value = String(k % 31);
            slider.dispatchEvent(new Event("input", { bubbles: true }));
        }
    });
    await settled();
    const text = await field("ambient").inputValue();
    const last = await cell("charge at redline", 1);
    await slide("ambient", 1);
    await slide("ambient", -1);
    assert.equal(await field("ambient").inputValue(), text);
    assert.equal(await cell("charge at redline", 1), last);
});

test("turns parts, marks what differs and puts it back", async () => {
    const before = await cell("boost at redline", 1);
    await page.getByRole("radio", { name: /80 mm rotor pulley/ }).check();
    await settled();
    assert.ok(numberOf(await cell("boost at redline", 1)) > numberOf(before) + 15);
    assert.equal(await page.locator(".knob.turned").count(), 1);
    await picture(page, "live-turned", { fullPage: true });
    await page.getByRole("button", { name: /^Put back: blower pulley/ }).click();
    await settled();
    assert.equal(await cell("boost at redline", 1), before);
    assert.equal(await page.locator(".knob.turned").count(), 0);
});

test("takes any unit as it is typed, and follows the unit switch", async () => {
    await field("ambient").fill("95 degF");
    await field("ambient").press("Enter");
    await settled();
    const power = await cell("peak power, crank", 1);
    await page.getByRole("radio", { name: "US" }).check();
    await settled();
    assert.match(await field("ambient").inputValue(), /^95(\.0)?\s*(°F|degF)$/);
    assert.ok(Math.abs(numberOf(await cell("peak power, crank", 1)) - shown(numberOf(power) * 1e3, "hp")) < 0.15);
});

test("answers a wrong value as the command line does, keeps the last good curves and recovers", async () => {
    const good = await cell("charge at redline", 1);
    await field("ambient").fill("31 kg");
    await field("ambient").press("Enter");
    const complaint = page.locator("#knob-ambient-error");
    await complaint.waitFor({ state: "visible" });
    const text = await complaint.innerText();
    // The same line in a file, checked by the command line.
    const folder = temporaryFolder(), file = join(folder, "wrong.toml");
    writeFileSync(file, `rig = "${source}/scenarios/rigs/hillclimb-v6.toml"\n[variant.live.set]\n"ambient.temperature" = "31 kg"\n`);
    const said = pullcast("check", file).err.split("\n")[0].replace(/^.*?: error: /, "");
    assert.ok(said.includes("31 kg"), said);
    assert.ok(text.includes(said), `${text}\nis not\n${said}`);
    assert.equal(await field("ambient").getAttribute("aria-invalid"), "true");
    assert.equal(await cell("charge at redline", 1), good);
    assert.deepEqual(await accessibilityFindings(page), []);
    await picture(page, "live-wrong-value");
    await field("ambient").fill("24 degC");
    await field("ambient").press("Enter");
    await settled();
    assert.equal(await complaint.isVisible(), false);
    assert.equal(await field("ambient").getAttribute("aria-invalid"), null);
    assert.deepEqual(page.noted.errors.filter((e) => !e.includes("422")), []);
});

test("exports a study whose figures are those on the page, and a report", async () => {
    await page.getByRole("radio", { name: /80 mm rotor pulley/ }).check();
    await field("ambient").fill("31 degC");
    await field("ambient").press("Enter");
    await settled();
    const { name, text } = await download(/study/i);
    assert.match(name, /\.toml$/);
    const folder = temporaryFolder(), file = join(folder, "live.toml");
    writeFileSync(file, text.replaceAll("../rigs", `${source}/scenarios/rigs`));
    const run = pullcast("run", file, "--out", join(folder, "r"));
    assert.equal(run.status, 0, run.err);
    const summary = JSON.parse(readFileSync(join(folder, "r", "summary.json"), "utf8"));
    const figures = summary.variants.find((v) => v.name === "live").figures;
    for (const [row, key, unit] of [["peak power, crank", "crank_power", "kW"], ["boost at redline", "boost_redline", "kPa"],
        ["charge at redline", "charge_redline", "°C"], ["highest blower speed", "blower_speed", "rpm"]]) {
        const text = await cell(row, 1);
        assert.ok(Math.abs(numberOf(text) - shown(figures[key].value, unit)) <= 0.5 * 10 ** -(text.split(".")[1]?.length ?? 0) * (1 + 1e-9), `${key}: ${text}`);
    }
    const report = await download(/report/i);
    assert.match(report.name, /\.html$/);
    const saved = join(folder, "report.html");
    writeFileSync(saved, report.text);
    const opened = await openPage(saved);
    assert.equal(await opened.locator("table.figures th.variant").count(), 2);
    assert.deepEqual(opened.noted.errors, []);
    await opened.context().close();
});

test("pins another variant, or this run, as the grey line", async () => {
    const pin = page.locator(".beside select");
    await pin.selectOption({ label: "both: 80 mm pulley, deep core" });
    await settled();
    assert.equal(await page.locator("table.figures th.variant").count(), 3, "base, pinned variant and live");
    await page.getByRole("button", { name: "Pin this run" }).click();
    await settled();
    await slide("ambient", 6);
    assert.deepEqual(page.noted.errors, []);
    await picture(page, "live-pinned");
});

test("lets the reader predict first: hides the answer, takes a sketch by mouse, and judges it", async () => {
    await page.getByRole("checkbox", { name: "Predict first" }).check();
    await page.getByLabel("Predict which curve").selectOption("charge_temperature");
    await slide("ambient", 10);
    assert.equal(await page.locator(".result-head .lead").isVisible(), false, "the headline would give it away");
    assert.equal(await page.locator("table.figures").isVisible(), false);
    const box = await page.locator(".sketch-pad").boundingBox();
    await picture(page, "live-predict");
    await page.mouse.move(box.x + 10, box.y + box.height * 0.6);
    await page.mouse.down();
    await page.mouse.move(box.x + box.width - 10, box.y + box.height * 0.25, { steps: 12 });
    await page.mouse.up();
    await page.getByRole("button", { name: "Show what the engine says" }).click();
    await settled();
    assert.match(await page.locator(".verdict").innerText(), /\d/);
    assert.ok(await page.locator(".result-head .lead").isVisible());
    await picture(page, "live-predict-shown");
    assert.deepEqual(await accessibilityFindings(page), []);
    assert.deepEqual(page.noted.errors, []);
});

test("shows the live run's band only when the prediction is shown", async () => {
    const own = await live(writeStudy('rig = "RIG"\n[variant.one]\n[knob.ambient]\nsets = "ambient.temperature"\n' +
        'from = "5 degC"\nto = "40 degC"\nstep = "1 K"\n'));
    const other = await openPage(own.url);
    await other.waitForFunction(() => document.querySelectorAll("table.figures tbody tr").length > 0);
    const marks = () => other.getByRole("figure", { name: /^knock margin/i }).locator(".plot-key .mark").allInnerTexts();
    assert.deepEqual(await marks(), ["○", "●", "○′", "●′"]);
    await other.getByRole("checkbox", { name: "Predict first" }).check();
    const choice = other.getByLabel("Predict which curve");
    assert.equal(await choice.locator("option", { hasText: "second model" }).count(), 0, "it is drawn with the first");
    await choice.selectOption("knock_margin");
    await other.locator("#knob-ambient").focus();
    for (let k = 0; k < 8; ++k) await other.keyboard.press("ArrowRight");
    await other.waitForTimeout(600);
    assert.deepEqual(await marks(), ["○", "?", "○′"]);
    const handle = other.locator(".sketch-pad [role=slider]").nth(3);
    await handle.focus();
    for (let k = 0; k < 5; ++k) await other.keyboard.press("ArrowDown");
    await picture(other, "live-predict-band");
    await other.getByRole("button", { name: "Show what the engine says" }).click();
    await other.waitForTimeout(400);
    assert.deepEqual(await marks(), ["○", "●", "?", "○′", "●′"]);
    assert.match(await other.locator(".verdict").innerText(), /\d/);
    assert.deepEqual(other.noted.errors, []);
    await picture(other, "live-predict-band-shown");
    await other.context().close();
    await own.stop();
});

test("takes a sketch by keyboard as well", async () => {
    await page.getByRole("checkbox", { name: "Predict first" }).check();
    const handles = page.locator(".sketch-pad [role=slider]");
    assert.ok(await handles.count() >= 5);
    const before = await handles.nth(3).getAttribute("aria-valuetext");
    await handles.nth(3).focus();
    for (let k = 0; k < 5; ++k) await page.keyboard.press("ArrowUp");
    assert.notEqual(await handles.nth(3).getAttribute("aria-valuetext"), before);
    await page.getByRole("button", { name: "Show what the engine says" }).click();
    assert.match(await page.locator(".verdict").innerText(), /\d/);
});

for (const [name, window] of [["light", {}], ["dark", { colorScheme: "dark" }], ["phone", { width: 360, height: 740 }]])
    test(`is read without eyes or pointer as well as with them (${name})`, async () => {
        const other = await openPage(server.url, window);
        await other.waitForFunction(() => document.querySelectorAll("table.figures tbody tr").length > 0);
        await other.waitForTimeout(500);
        assert.deepEqual(await accessibilityFindings(other), []);
        assert.equal(await overflows(other), false);
        await picture(other, `live-${name}`, { fullPage: true });
        await other.context().close();
    });

test("says what to do when the program has stopped", async () => {
    const own = await live(study("pump-or-exchanger"));
    const other = await openPage(own.url);
    await other.waitForFunction(() => document.querySelectorAll("table.figures tbody tr").length > 0);
    assert.equal(await own.stop(), 0, "Ctrl-C ends it well");
    await other.locator("#knob-ambient").focus();
    await other.keyboard.press("ArrowRight");
    await other.getByText("pullcast live").waitFor();
    await other.context().close();
});

test("a wrong token gets no page", async () => {
    const answer = await fetch(server.url.replace(/token=\w/, "token=x"));
    assert.equal(answer.status, 403);
});
