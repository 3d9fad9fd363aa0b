// The README's pictures, made from the demo: node pictures.mjs FOLDER, with the environment of harness.mjs.
import { join } from "node:path";
import { choiceOf, closeBrowser, dayOf, live, matchOf, openPage, reportOf, study } from "./harness.mjs";

const folder = process.argv[2];
const demo = study("pulley-or-core");
const save = (page, name) => page.screenshot({ path: join(folder, `${name}.png`) });
const scrollTo = (page, heading) => page.evaluate((text) => {
    const found = [...document.querySelectorAll("h2, h3")].find((h) => h.textContent === text);
    scrollTo(0, found.getBoundingClientRect().top + scrollY - 60);
}, heading);

const report = await openPage(reportOf(demo).file, { width: 1180, height: 1000 });
await report.waitForTimeout(1000);
await save(report, "report");
await scrollTo(report, "Intake and charge temperature");
const box = await report.getByRole("figure", { name: "intake temperature" }).locator("canvas").boundingBox();
await report.mouse.move(box.x + 0.7 * box.width, box.y + 0.5 * box.height);
await report.waitForTimeout(300);
await save(report, "report-charts");
await report.addStyleTag({ content: ".bar { display: none !important; }" });
await report.locator(".heat svg").screenshot({ path: join(folder, "report-heat.png") });

const measured = await openPage(matchOf(study("what-the-core-did")).file, { width: 1180, height: 1000 });
await scrollTo(measured, "What the parts did under the same conditions");
await measured.waitForTimeout(1000);
await save(measured, "measured");

const choice = await openPage(choiceOf(study("where-the-money-goes")).file, { width: 1180, height: 1000 });
await choice.waitForTimeout(1500);
await scrollTo(choice, "All combinations");
await choice.waitForTimeout(500);
await save(choice, "choice");

const day = await openPage(dayOf(study("../course/1-second-pull/lesson")).file, { width: 1180, height: 1000 });
await scrollTo(day, "Which pull was hotter, and how long to wait");
await day.waitForTimeout(1000);
await save(day, "day");

const server = await live(demo);
const page = await openPage(server.url, { width: 1180, height: 1000 });
await page.waitForTimeout(1500);
await page.getByRole("radio", { name: /80 mm rotor pulley/ }).check();
await page.locator("#knob-ambient").focus();
for (let k = 0; k < 8; ++k) await page.keyboard.press("ArrowRight");
await scrollTo(page, "Intake and charge temperature");
await page.waitForTimeout(1500);
await save(page, "live");
await closeBrowser();
await server.stop();
