// The report in a browser: what a reader sees, does, prints, and what the numbers are checked against.
import assert from "node:assert/strict";
import { readFileSync, statSync } from "node:fs";
import { after, before, describe, test } from "node:test";
import {
    accessibilityFindings, closeBrowser, numberOf, openPage, overflows, picture, reportOf, shown, study, writeStudy,
} from "./harness.mjs";

after(closeBrowser);

/// What the program handed to the page.
const documentOf = (file) => JSON.parse(readFileSync(file, "utf8").match(/<script type="application\/json" id="pullcast-page">(.*?)<\/script>/s)[1]);

let report, data;
before(() => {
    report = reportOf(study("pulley-or-core"));
    data = documentOf(report.file);
});

/// The table of figures as it stands: rows of label, unit and one [value, difference] a variant.
const figureRows = (page) => page.$$eval("table.figures tbody tr:not(.group)", (rows) => rows.map((row) => {
    const own = (cell) => [...cell.childNodes].filter((n) => n.nodeType === Node.TEXT_NODE).map((n) => n.textContent).join("").trim();
    const [label, unit, ...cells] = row.children;
    return { label: own(label), unit: unit.textContent, cells: cells.map((c) => [own(c), c.querySelector(".below")?.textContent ?? ""]) };
}));

/// How far a shown number may be from the true one: half of its last digit.
const halfDigit = (text) => 0.5 * 10 ** -(text.split(".")[1]?.length ?? 0) * (1 + 1e-9);

/// Every number of the table against summary.json, by unit factors of our own.
async function expectFiguresOfTheSummary(page, summary) {
    const rows = await figureRows(page);
    assert.equal(rows.length, data.figures.length);
    for (const [i, figure] of data.figures.entries()) {
        for (const [k, variant] of summary.variants.entries()) {
            const [text, difference] = rows[i].cells[k];
            const { value, unit } = variant.figures[figure.key];
            const inShown = (si) => shown(si, rows[i].unit) - (unit === "dK" ? shown(0, rows[i].unit) : 0);
            if (figure.decimals < 0) {
                const size = Math.abs(value);
                if (size < 1e-12) assert.match(text, /^<1e.12$/);
                else assert.ok(Math.abs(Number(text.replace("−", "-")) / size - 1) < 0.51, `${figure.key} of ${variant.name}: ${text} for ${value}`);
                continue;
            }
            const expected = inShown(value);
            assert.ok(Math.abs(numberOf(text) - expected) <= halfDigit(text), `${figure.key} of ${variant.name}: ${text} for ${expected}`);
            if (variant.base) continue;
            const base = summary.variants.find((v) => v.base).figures[figure.key].value;
            const change = inShown(value) - inShown(base);
            assert.ok(Math.abs(numberOf(difference) - change) <= halfDigit(difference), `${figure.key} of ${variant.name}: ${difference} for ${change}`);
        }
    }
}

const plots = (page) => page.locator("figure.plot");
const readings = (page) => page.$$eval("figure.plot", (all) => all.map((f) => f.querySelector("figcaption").innerText));

describe("the report of a study with four variants", () => {
    test("is one file of at most 1 MB that asks for nothing else and raises no error", async () => {
        assert.ok(statSync(report.file).size <= 1e6, `${statSync(report.file).size} bytes`);
        assert.match(report.run.err, /report: .*report\.html/);
        const page = await openPage(report.file);
        await page.waitForSelector("figure.plot canvas");
        assert.deepEqual(page.noted.errors, []);
        assert.deepEqual(page.noted.requests, [`file://${report.file}`]);
        await picture(page, "report");
        await picture(page, "report-whole", { fullPage: true });
        await page.close();
    });

    test("shows the numbers of summary.json, in metric and in US units", async () => {
        const page = await openPage(report.file);
        await expectFiguresOfTheSummary(page, report.summary);
        const lead = () => page.locator("header .lead").innerText();
        assert.match(await lead(), /\d\skW\b/);
        assert.match(await lead(), /\d\skPa\b/);
        await page.getByRole("radio", { name: "US" }).check();
        await expectFiguresOfTheSummary(page, report.summary);
        assert.match(await lead(), /\d\shp\b/);
        assert.match(await lead(), /\d\spsi\b/);
        await page.close();
    });

    test("draws every curve that the rig has, and reads all of them at one place under the pointer", async () => {
        const page = await openPage(report.file);
        const edges = data.curves.map((c) => c.band);
        assert.equal(await plots(page).count(), data.curves.filter((c) => !edges.includes(c.key) && data.variants.some((v) => v.curves[c.key])).length);
        const before = await readings(page);
        const first = plots(page).first();
        await first.scrollIntoViewIfNeeded();
        const box = await first.locator("canvas").boundingBox();
        await page.mouse.move(box.x + box.width * 0.6, box.y + box.height * 0.4);
        await page.waitForFunction((text) => document.querySelector("figure.plot figcaption").innerText !== text, before[0]);
        const during = await readings(page);
        for (const [i, text] of during.entries()) assert.notEqual(text, before[i], `plot ${i} does not follow the pointer`);
        await picture(page, "report-hover");
        await page.close();
    });

    test("enlarges a part of all charts by dragging, and shows the whole pull again", async () => {
        const page = await openPage(report.file);
        const whole = page.getByRole("button", { name: "Whole pull" });
        assert.ok(await whole.isDisabled());
        const canvas = plots(page).first().locator("canvas");
        await canvas.scrollIntoViewIfNeeded();
        const box = await canvas.boundingBox();
        await page.mouse.move(box.x + box.width * 0.4, box.y + 40);
        await page.mouse.down();
        await page.mouse.move(box.x + box.width * 0.7, box.y + 50, { steps: 5 });
        await page.mouse.up();
        assert.ok(await whole.isEnabled());
        await picture(page, "report-zoom");
        await whole.click();
        assert.ok(await whole.isDisabled());
        await page.close();
    });

    test("moves the cursor by keyboard and draws over time as well", async () => {
        const page = await openPage(report.file);
        const before = await readings(page);
        const plot = plots(page).first().locator("[tabindex='0']");
        await plot.focus();
        await page.keyboard.press("End");
        await page.keyboard.press("ArrowLeft");
        await page.keyboard.press("ArrowLeft");
        assert.notDeepEqual(await readings(page), before);
        await page.getByRole("radio", { name: "time", exact: true }).check();
        await picture(page, "report-time");
        assert.deepEqual(page.noted.errors, []);
        await page.close();
    });

    test("has a data table under every chart whose rows are the curves", async () => {
        const page = await openPage(report.file);
        const drawers = page.locator(".chart details");
        assert.equal(await drawers.count(), data.charts.length);
        const drawer = drawers.first();
        await drawer.locator("summary").click();
        await drawer.locator("tbody tr").first().waitFor();
        const rows = await drawer.locator("tbody tr").count();
        assert.ok(rows >= 15, `${rows} rows`);
        const last = await drawer.locator("tbody tr").last().locator("td").first().innerText();
        const power = report.summary.variants[0].figures.crank_power.value;
        assert.ok(Math.abs(numberOf(last) / shown(power, "kW") - 1) < 0.03, `${last} at the end, peak ${power}`);
        await page.close();
    });

    test("draws heat flows that balance in every place and are those of the ledger", async () => {
        for (const variant of data.variants) {
            const last = Object.fromEntries(data.heat.flows.map((f) => [f.key, variant.heat[f.key].at(-1)]));
            for (const place of data.heat.places.filter((p) => p.role === "through")) {
                const sum = data.heat.flows.reduce((s, f) => s + (f.to === place.key) * last[f.key] - (f.from === place.key) * last[f.key], 0);
                assert.ok(Math.abs(sum) < 1e-9 * last.work, `${place.key} of ${variant.name}: ${sum} J are left`);
            }
            const sources = data.heat.flows.filter((f) => data.heat.places.find((p) => p.key === f.from).role === "source");
            const ends = data.heat.flows.filter((f) => data.heat.places.find((p) => p.key === f.to).role === "end");
            const total = (flows) => flows.reduce((s, f) => s + last[f.key], 0);
            assert.ok(Math.abs(total(sources) - total(ends)) < 1e-9 * last.work);
            // The ledger's totals hold the seconds of settling before the pull too, in which little is moved.
            const accounts = report.summary.variants.find((v) => v.name === variant.name).ledger.accounts;
            const account = (component, name) => accounts.find((a) => a.component === component && a.name === name).total;
            assert.ok(last.work <= account("blower", "shaft_work") && last.work > 0.9 * account("blower", "shaft_work"));
            assert.ok(Math.abs(last.cooling - account("cooler", "heat_from_charge")) < 0.1 * last.cooling);
        }
        const page = await openPage(report.file);
        const rows = await page.$$eval(".heat table tbody tr", (all) => all.map((r) => [...r.children].map((c) => c.innerText.replaceAll("\u00a0", " "))));
        assert.equal(rows.length, data.heat.flows.length);
        for (const [i, f] of data.heat.flows.entries()) {
            const [way, kilojoules] = rows[i];
            const flow = data.variants.find((v) => v.base).heat[f.key].at(-1) / 1e3;
            const label = (key) => data.heat.places.find((p) => p.key === key).label;
            const [from, to] = flow < 0 ? [f.to, f.from] : [f.from, f.to];
            assert.ok(way.startsWith(`${label(from)} → ${label(to)}`), way);
            assert.ok(Math.abs(numberOf(kilojoules) - Math.abs(flow)) <= halfDigit(kilojoules), `${f.key}: ${rows[i]}`);
        }
        await page.close();
    });

    test("moves heat picture and drawing to another instant and variant", async () => {
        const page = await openPage(report.file);
        const slider = page.locator("input[type=range]").first();
        const before = await page.locator(".heat table").innerText();
        await slider.focus();
        for (let k = 0; k < 10; ++k) await page.keyboard.press("ArrowLeft");
        const earlier = await page.locator(".heat table").innerText();
        assert.notEqual(earlier, before);
        await page.locator("select").first().selectOption({ index: 3 });
        assert.notEqual(await page.locator(".heat table").innerText(), earlier);
        await slider.scrollIntoViewIfNeeded();
        await picture(page, "report-instant");
        assert.deepEqual(page.noted.errors, []);
        await page.close();
    });

    test("shows cautions, assumptions, version, scenario hash, solver statistics and ledger residual", async () => {
        const page = await openPage(report.file);
        for (const caution of report.summary.cautions) assert.ok(await page.getByText(caution.slice(0, 40)).first().isVisible(), caution);
        const text = await page.locator("body").evaluate((body) => body.textContent);
        for (const wanted of [report.summary.program.version, data.study.hash, String(data.variants[0].solver.steps), "blower.geometric"])
            assert.ok(text.includes(wanted), wanted);
        assert.match(data.study.hash, /^[0-9a-f]{32}$/);
        await page.close();
    });

    for (const format of ["A4", "Letter"])
        test(`prints on ${format} with nothing cut off`, async () => {
            const page = await openPage(report.file, { colorScheme: "dark" });
            await page.emulateMedia({ media: "print", colorScheme: "dark" });
            const background = await page.evaluate(() => getComputedStyle(document.documentElement).backgroundColor);
            assert.match(background, /rgba\(0, 0, 0, 0\)|rgb\(2[345]\d, 2[345]\d, 2[345]\d\)/, "paper is light");
            assert.equal(await page.locator(".bar").isVisible(), false, "no buttons on paper");
            const options = process.env.PULLCAST_PICTURES ? { path: `${process.env.PULLCAST_PICTURES}/report-${format}.pdf` } : {};
            const pdf = await page.pdf({ format, ...options });
            const pages = pdf.toString("latin1").match(/\/Type\s*\/Page\b/g).length;
            assert.ok(pages >= 3 && pages <= 20, `${pages} pages`);
            await page.close();
        });

    for (const [name, window] of [["light", {}], ["dark", { colorScheme: "dark" }], ["phone", { width: 360, height: 740 }]])
        test(`is read without eyes or pointer as well as with them (${name})`, async () => {
            const page = await openPage(report.file, window);
            await page.waitForSelector("figure.plot canvas");
            assert.deepEqual(await accessibilityFindings(page), []);
            assert.equal(await overflows(page), false);
            await picture(page, `report-${name}`, { fullPage: true });
            await page.close();
        });
});

describe("a report with two knock models", () => {
    let doubtful;
    before(() => (doubtful = reportOf(writeStudy('rig = "RIG"\nbase = "one"\n[variant.one]\n' +
        '[variant.two.set]\n"drive.parts.pulley" = "pulley-80"\n'))));
    const knockPlot = (page) => page.getByRole("figure", { name: /^knock margin/i });

    /// Rows of a column of the canvas that a band covers with nothing else on them, CSS pixels from its top: its ink at
    /// 0x24 of 255 over no ground, less than twice that where two bands lie over each other. Single rows are no band.
    const banded = (plot, x) => plot.locator("canvas").evaluate((canvas, at) => {
        const ratio = canvas.width / canvas.clientWidth;
        const { data } = canvas.getContext("2d").getImageData(Math.round(at * ratio), 0, 1, canvas.height);
        const tinted = (row) => data[4 * row + 3] > 30 && data[4 * row + 3] < 80;
        const rows = Array.from({ length: canvas.height - 2 }, (_, k) => k + 1);
        return rows.filter((row) => tinted(row - 1) && tinted(row) && tinted(row + 1)).map((row) => row / ratio);
    }, x);

    for (const [name, window] of [["light", {}], ["dark", { colorScheme: "dark" }], ["phone", { width: 360, height: 740 }]])
        test(`fills the band between both models' lines, of each variant (${name})`, async () => {
            const page = await openPage(doubtful.file, window);
            const plot = knockPlot(page);
            await plot.scrollIntoViewIfNeeded();
            await plot.locator("canvas").waitFor();
            const marks = await plot.locator(".plot-key .mark").allInnerTexts();
            assert.deepEqual(marks, ["A", "B", "A′", "B′"], "told apart without colour");
            const box = await plot.locator("canvas").boundingBox();
            const x = Math.round(box.width * 0.85) + 0.5; // between two rules of the grid
            await page.mouse.move(box.x + x, box.y + 60);
            await page.waitForTimeout(100);
            const points = await plot.locator(".u-cursor-pt").evaluateAll((all) => all.map((p) => p.getBoundingClientRect()).map((r) => r.top + r.height / 2));
            const [a, b, secondA, secondB] = points.map((y) => y - box.y);
            assert.ok(Math.abs(secondA - a) > 8 && Math.abs(secondB - b) > 8, `models too near for this test: ${points}`);
            const rows = await banded(plot, x);
            const inside = (y, ends) => y > Math.min(...ends) - 2 && y < Math.max(...ends) + 2;
            for (const y of rows) assert.ok(inside(y, [a, secondA]) || inside(y, [b, secondB]), `tint at ${y}, bands ${[a, secondA]} and ${[b, secondB]}`);
            for (const ends of [[a, secondA], [b, secondB]]) {
                const own = rows.filter((y) => inside(y, ends)).length / (await page.evaluate(() => devicePixelRatio));
                assert.ok(own > 0.6 * Math.abs(ends[1] - ends[0]), `${own} of ${ends}`);
            }
            const other = page.getByRole("figure", { name: "air flow" });
            await other.scrollIntoViewIfNeeded();
            await other.locator("canvas").waitFor();
            assert.deepEqual(await banded(other, x < 200 ? x : 200.5), [], "no band where there is no second model");
            assert.equal(await overflows(page), false);
            assert.deepEqual(page.noted.errors, []);
            await picture(page, `report-band-${name}`);
            await page.close();
        });

    test("reads out and tabulates what both models say, and tells the doubt in words", async () => {
        const page = await openPage(doubtful.file);
        const plot = knockPlot(page);
        await plot.scrollIntoViewIfNeeded();
        await plot.locator("canvas").waitFor();
        await page.waitForFunction(() => [...document.querySelectorAll(".plot-box")].some((b) => b.ariaLabel?.includes("second model")));
        const chart = page.locator("section.chart", { has: plot });
        await chart.locator("summary").click();
        const heads = await chart.locator("thead tr").first().locator("th").allInnerTexts();
        assert.match(heads[1], /^knock margin, deg$/);
        assert.match(heads[2], /^knock margin, second model, deg$/);
        // Every row against the document's curves; at the worst speed these differ by the doubt of the summary.
        const at = (variant, key, speed) => {
            const k = variant.speed.findIndex((s) => s >= speed), [left, right] = [variant.curves[key][k - 1], variant.curves[key][k]];
            if (left === null || right === null || k < 1) return null;
            return left + ((right - left) * (speed - variant.speed[k - 1])) / (variant.speed[k] - variant.speed[k - 1]);
        };
        const page_data = documentOf(doubtful.file);
        const rows = await chart.locator("tbody tr").evaluateAll((all) => all.map((r) => [...r.children].map((c) => c.innerText)));
        let compared = 0;
        for (const [rpm, ...cells] of rows)
            for (const [i, key] of ["knock_margin", "knock_margin", "knock_margin_second", "knock_margin_second"].entries()) {
                const si = at(page_data.variants[i % 2], key, (Number(rpm) * Math.PI) / 30);
                if (si === null) continue;
                assert.ok(Math.abs(numberOf(cells[i]) - shown(si, "deg")) <= 0.0501, `${key} at ${rpm} rpm: ${cells[i]}`);
                ++compared;
            }
        assert.ok(compared > 40, `${compared} cells`);
        const { knock_doubt, knock_margin_speed } = doubtful.summary.variants[0].figures;
        const [first, second] = ["knock_margin", "knock_margin_second"].map((key) => at(page_data.variants[0], key, knock_margin_speed.value * (1 + 1e-6)));
        assert.ok(Math.abs(Math.abs(second - first) - knock_doubt.value) < 1e-4, `${first} and ${second}, doubt ${knock_doubt.value}`);
        assert.match(await page.locator("header .lead").innerText(), /two models differ by \d+\.\d\sdeg/);
        const words = (await page.locator("ul.variants").innerText()).replaceAll("\u00a0", " ");
        assert.match(words, /At the worst point \(\d+ rpm\) 10 K hotter charge would take/);
        assert.match(words, /knock margin, .*pressure takes \d+\.\d deg/);
        assert.match(words, /A trend, not a promise\./);
        await page.close();
    });

    test("splits the change of the margin in summary.json into parts that add up", () => {
        const [one, two] = doubtful.summary.variants;
        assert.equal(one.knock.margin_change, null);
        const { total, heat, pressure, spark, fuel, rest } = two.knock.margin_change;
        assert.ok(Math.abs(heat + pressure + spark + fuel + rest - total) < 1e-12);
        assert.ok(Math.abs(total - (two.figures.knock_margin.value - one.figures.knock_margin.value)) < 1e-12);
        assert.ok(pressure < 0 && heat < 0 && fuel === 0, "a smaller pulley makes pressure and heat");
        assert.ok(one.knock.margin_slopes.per_temperature.value < 0 && one.knock.margin_slopes.per_octane.value > 0);
    });
});

test("a pull that does not finish is told and leaves the others as they are", async () => {
    const stuck = reportOf(writeStudy('rig = "RIG"\nbase = "sound"\n[variant.sound]\n[variant.stuck.set]\n' +
        '"blower.parts.unit" = "lobe-19-map"\n"blower.isentropic_floor" = 0.01\n"drive.model" = "drive.rigid"\n' +
        '"drive.pulley_diameter" = "20 mm"\n'));
    const failed = stuck.summary.variants.filter((v) => v.failure !== null);
    assert.deepEqual(failed.map((v) => v.name), ["stuck"]);
    const page = await openPage(stuck.file);
    assert.equal(await page.locator(".failure").getByText("Did not finish: run stopped").count(), 1);
    assert.deepEqual(page.noted.errors, []);
    await page.close();
});

test("texts of a study are shown as texts, whatever they hold", async () => {
    const odd = '</script><img src=x onerror=alert(1)><b>&amp;';
    const { file } = reportOf(writeStudy(`title = '${odd}'\nquestion = '${odd}'\nrig = "RIG"\n[variant.one]\ntitle = '${odd}'\n`));
    const page = await openPage(file);
    assert.equal(await page.locator("h1").innerText(), odd);
    assert.equal(await page.title(), odd);
    assert.equal(await page.locator("img").count(), 0);
    assert.deepEqual(page.noted.errors, []);
    await page.close();
});
