// How long a reader waits: opening the report of the demo, and turning a knob of the live page until the curves are
// redrawn. A measurement, not a test: node tests/browser/speed.mjs, with the environment of harness.mjs.
import { closeBrowser, live, openPage, reportOf, study } from "./harness.mjs";

const quantile = (values, q) => [...values].sort((a, b) => a - b)[Math.min(values.length - 1, Math.floor(q * values.length))];
const line = (what, values, target) =>
    console.log(`${what.padEnd(58)} median ${quantile(values, 0.5).toFixed(0)} ms, 95 % ${quantile(values, 0.95).toFixed(0)} ms (target ${target} ms)`);

const report = reportOf(study("pulley-or-core"));
const opened = [], complete = [];
const allDrawn = () => document.querySelectorAll("figure.plot:not(.empty):not(:has(canvas)), .heat-canvas:not(:has(svg)), .rig-canvas:not(:has(svg))").length === 0;
for (let k = 0; k < 7; ++k) {
    const page = await openPage(report.file);
    await page.waitForFunction(allDrawn);
    complete.push(await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => setTimeout(() => done(performance.now()), 0)))));
    opened.push(await page.evaluate(() => performance.getEntriesByName("first-contentful-paint")[0].startTime));
    await page.context().close();
}
line("report of four variants: from opening to its first screen", opened, 1000);
line("  to the last of all charts and drawings", complete, 1000);

const server = await live(study("pulley-or-core"));
const page = await openPage(server.url);
await page.waitForFunction(() => document.querySelectorAll("table.figures tbody tr").length > 0);
await page.waitForTimeout(1000);
await page.locator("#knob-ambient").focus();
for (const [what, moves, pause] of [["single moves", 60, 500], ["a drag", 120, 50]]) {
    await page.evaluate(() => (window.pullcastTimings = []));
    for (let k = 0; k < moves; ++k) {
        await page.keyboard.press(k % 24 < 12 ? "ArrowRight" : "ArrowLeft");
        await page.waitForTimeout(pause);
    }
    await page.waitForTimeout(500);
    const timings = await page.evaluate(() => window.pullcastTimings);
    line(`live page, ${what}: from input to redrawn curves (${timings.length})`, timings.map((t) => t.input_to_drawn), 50);
    line("  of which the engine", timings.map((t) => t.simulated), 20);
}
await closeBrowser();
await server.stop();
