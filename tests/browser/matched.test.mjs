// The page of measured pulls in a browser. Its numbers are checked against the document by unit factors of our own.
import assert from "node:assert/strict";
import { after, before, describe, test } from "node:test";
import { accessibilityFindings, closeBrowser, matchOf, numberOf, openPage, overflows, picture, shown, study } from "./harness.mjs";
import { pageOf, sample } from "./matched_sample.mjs";

after(closeBrowser);

let file, data;
before(() => {
    data = sample();
    file = pageOf(data);
});

/// Half of a shown number's last digit.
const halfDigit = (text) => 0.5 * 10 ** -(text.split(".")[1]?.length ?? 0) * (1 + 1e-9);
const near = (text, expected, what) => assert.ok(Math.abs(numberOf(text) - expected) <= halfDigit(text), `${what}: ${text} for ${expected}`);
/// The unit that the page shows a key in, as print sets it.
const symbol = (key, system) => data.units[key][system].unit.replace("deg", key.includes("angle") ? "deg" : "°");
/// A difference: no zero of its own.
const difference = (si, unit) => (unit === "°F" ? 1.8 * si : shown(si, unit) - (shown(0, unit)));

/// Rows of the tables of changes: texts of the numbers, verdict, and the places drawn, percent of the width.
const changes = (page) => page.$$eval("table.changes", (all) => all.map((table) => [...table.querySelectorAll("tbody tr")].map((row) => {
    const at = (element, name) => (element ? parseFloat(element.getAttribute(name)) : null);
    const bar = row.querySelector(".interval rect");
    return {
        label: row.querySelector("th").textContent,
        numbers: [...row.querySelectorAll("td.number")].map((cell) => cell.lastChild.textContent),
        verdict: row.querySelector(".verdict strong").textContent, words: row.querySelector(".verdict").textContent,
        sign: row.querySelector(".sign path").getAttribute("d"), kind: row.querySelector(".interval").getAttribute("class"),
        fill: getComputedStyle(bar).fill, hatched: row.querySelector(".interval line") !== null,
        low: at(bar, "x"), high: at(bar, "x") + at(bar, "width"), estimate: at(row.querySelector(".estimate"), "x"),
        zero: at(row.querySelector(".zero"), "x1"), limit: at(row.querySelector(".limit"), "x1"),
    };
})));

async function expectChanges(page, system) {
    const tables = await changes(page);
    assert.equal(tables.length, data.comparisons.length);
    for (const [k, { figures }] of data.comparisons.entries())
        for (const [i, f] of figures.entries()) {
            const [unit, step] = [symbol(f.unit, system), symbol(f.difference, system)];
            const row = tables[k][i];
            assert.ok(row.label.startsWith(f.label) && row.label.includes(unit) && row.label.includes(step), row.label);
            const [from, to, change, interval] = row.numbers;
            const plain = (si) => (f.unit === "dK|" ? difference(si, unit) : shown(si, unit));
            near(from, plain(f.from), f.key);
            near(to, plain(f.to), f.key);
            near(change, difference(f.to - f.from, step), f.key);
            interval.split(" to ").forEach((text, end) => near(text, difference([f.low, f.high][end], step), f.key));
            assert.equal(row.verdict, f.verdict);
        }
}

const block = (page, channel) => page.getByRole("region", { name: channel, exact: true });

describe("the page of measured pulls", () => {
    test("asks for nothing else, raises no error, and shows no text as markup", async () => {
        const page = await openPage(file);
        await page.waitForSelector("table.changes");
        await page.evaluate(() => scrollTo(0, document.body.scrollHeight));
        await page.waitForTimeout(300);
        assert.deepEqual(page.noted.errors, []);
        assert.deepEqual(page.noted.requests, [`file://${file}`]);
        assert.equal(await page.locator("h1").innerText(), "What the core did <i>&</i>");
        assert.deepEqual(await page.locator("h2").allInnerTexts(), [
            "What the parts did under the same conditions", "Were the pulls alike?", "The pulls", "Measured and simulated",
            "What was fitted", "Why the two pulls differ", "How to read this", "Cautions", "How this was computed"]);
        await page.close();
    });

    test("shows each change with its interval and verdict, in metric and in US units", async () => {
        const page = await openPage(file);
        await expectChanges(page, "metric");
        assert.match(await page.locator(".lead").innerText(), /\d\skW/);
        await page.getByRole("radio", { name: "US" }).check();
        await expectChanges(page, "us");
        assert.match(await page.locator(".lead").innerText(), /\d\shp/);
        await page.close();
    });

    test("draws each interval to scale about no change, and marks the limit on the side that is worse", async () => {
        const page = await openPage(file);
        for (const [k, rows] of (await changes(page)).entries())
            for (const [i, row] of rows.entries()) {
                const f = data.comparisons[k].figures[i];
                const limit = f.no_worse && (f.no_worse.worse === "falls" ? -1 : 1) * f.no_worse.limit;
                const reach = Math.max(...[f.low, f.high, limit ?? 0].map(Math.abs));
                const place = (change) => 50 + (46 * change) / reach;
                assert.equal(row.zero, 50);
                for (const [name, change] of [["low", f.low], ["high", f.high], ["estimate", f.to - f.from]])
                    assert.ok(Math.abs(row[name] - place(change)) < 0.02, `${f.key}: ${name} at ${row[name]} %`);
                if (limit === null) assert.equal(row.limit, null);
                else assert.ok(Math.abs(row.limit - place(limit)) < 0.02, `${f.key}: limit at ${row.limit} %`);
            }
        await page.close();
    });

    test("tells verdicts apart by sign, word and filling, none smaller than another", async () => {
        const page = await openPage(file);
        const rows = (await changes(page)).flat();
        const looks = new Map(rows.map((row) => [row.verdict, `${row.sign} ${row.kind} ${row.fill} ${row.hatched}`]));
        assert.deepEqual([...looks.keys()].sort(), ["cannot tell", "falls", "rises"]);
        assert.equal(new Set(rows.map((row) => `${row.sign}`)).size, 3);
        assert.equal(new Set(rows.map((row) => `${row.fill} ${row.hatched}`)).size, 3);
        const sizes = await page.$$eval(".verdict strong", (all) => all.map((e) => `${getComputedStyle(e).fontSize} ${getComputedStyle(e).fontWeight} ${getComputedStyle(e).color}`));
        assert.equal(new Set(sizes).size, 1);
        const shownWords = rows.filter((row) => row.limit !== null).map((row) => row.words);
        assert.deepEqual(shownWords.map((text) => /not shown/.test(text)), [false, true]);
        assert.ok(shownWords.every((text) => text.includes("1.5\u00a0kW")));
        await page.close();
    });

    test("says how far the pulls were alike, and shows their conditions beside the reference", async () => {
        const page = await openPage(file);
        const states = await page.$$eval(".checklist tbody tr", (rows) => rows.map((row) => [row.cells[0].textContent, row.cells[1].textContent]));
        assert.deepEqual(states, [["ambient temperature", "≠differs"], ["gear and drum", "=alike"], ["fuel", "?unknown"]]);
        const table = await page.$$eval(".conditions tbody tr", (rows) => rows.map((row) => [...row.cells].slice(1).map((cell) => cell.textContent)));
        for (const [k, condition] of data.conditions.entries())
            for (const [p, text] of table[k].entries()) {
                const si = p < data.pulls.length ? data.pulls[p].conditions[k] : condition.reference;
                if (si === null) assert.equal(text, "–not known");
                else near(text, shown(si, symbol(condition.unit, "metric")), condition.label);
            }
        for (const pull of data.pulls) assert.ok(await page.getByText(`${pull.log}, ${pull.lines}`).first().isVisible());
        assert.equal(await page.getByText("the reading stuck at 41.0").count(), 1);
        await page.close();
    });

    test("draws each channel twice, and reads all plots at one place", async () => {
        const page = await openPage(file);
        const plots = page.locator("figure.plot");
        assert.equal(await plots.count(), 2 * data.channels.length);
        const plot = block(page, "intake temperature").getByRole("figure").first();
        await plot.scrollIntoViewIfNeeded();
        await plot.locator("canvas").waitFor();
        assert.match(await plot.getByRole("img").getAttribute("aria-label"), /spring practice, first pull \(measured\): starts at \d/);
        await plot.locator("[tabindex='0']").focus();
        await page.keyboard.press("Home");
        await page.keyboard.press("Shift+ArrowRight");
        const places = new Set(await page.locator(".plot-where").allInnerTexts());
        assert.equal(places.size, 1);
        assert.match([...places][0], /^at \d+\srpm$/);
        const overlay = data.pulls[0].overlays[0];
        const readings = await plot.locator(".plot-value").allInnerTexts();
        assert.equal(readings.length, 2 * data.pulls.length);
        const at = numberOf([...places][0].match(/\d+/)[0]);
        const row = overlay.speed.findLastIndex((speed) => shown(speed, "rpm") <= at);
        const share = (at - shown(overlay.speed[row], "rpm")) / shown(overlay.speed[row + 1] - overlay.speed[row], "rpm");
        const between = (values) => values[row] + share * (values[row + 1] - values[row]);
        // The place itself is shown to 1 rpm, over which the temperature moves by less than 0.05 K.
        for (const [reading, values] of [[readings[0], overlay.computed], [readings[data.pulls.length], overlay.measured]])
            assert.ok(Math.abs(numberOf(reading) - shown(between(values), "°C")) <= 0.1, `${reading} at ${at} rpm`);
        await picture(page, "matched-cursor");
        await page.close();
    });

    test("draws what was measured as points where it was measured, and what was computed as a line", async () => {
        const [pull] = data.pulls;
        const [overlay] = pull.overlays;
        const level = { ...overlay, measured: overlay.speed.map(() => 350), computed: overlay.speed.map(() => 330) };
        const page = await openPage(pageOf(sample({ pulls: [{ ...pull, overlays: [level] }] })));
        const plot = page.locator("figure.plot").first();
        await plot.scrollIntoViewIfNeeded();
        await plot.locator("canvas").waitFor();
        await page.waitForTimeout(300);
        // Pieces of ink along the upper half of the plot, where the measured values are, and along the lower.
        const pieces = await plot.locator("canvas").evaluate((canvas) => {
            const { width, height } = canvas;
            const pixels = canvas.getContext("2d").getImageData(0, 0, width, height).data;
            const ink = (x, y) => pixels[4 * (y * width + x) + 3] > 100 && pixels[4 * (y * width + x)] < 120;
            const bottom = height - 60, left = 52, right = width - 20;
            const count = (from, to) => {
                let pieces = 0, before = false;
                for (let x = left; x < right; x++) {
                    let now = false;
                    for (let y = Math.round(from); y < to; y++) now ||= ink(x, y);
                    if (now && !before) pieces++;
                    before = now;
                }
                return pieces;
            };
            return [count(4, bottom / 2), count(bottom / 2, bottom)];
        });
        assert.deepEqual(pieces, [level.speed.length, 1]);
        await page.close();
    });

    test("has a table of what is left, and a drawer with the data of both plots", async () => {
        const page = await openPage(file);
        for (const channel of data.channels) {
            const region = block(page, channel.label);
            const rows = await region.locator(".residuals tbody tr").evaluateAll((all) => all.map((row) => [...row.cells].map((cell) => cell.textContent)));
            const overlays = data.pulls.flatMap((pull) => pull.overlays.filter((o) => o.channel === channel.key));
            assert.equal(rows.length, overlays.length);
            assert.equal((await region.locator(".residuals thead").innerText()).trim(), `pull\tRMS, ${symbol(channel.difference, "metric")}\tworst, ${symbol(channel.difference, "metric")}\tat, rpm\tcorrelation of neighbours`);
            for (const [i, { rms, worst, worst_speed, lag_correlation }] of overlays.entries()) {
                const unit = symbol(channel.difference, "metric");
                const numbers = rows[i].slice(1);
                near(numbers[0], difference(rms, unit), channel.key);
                near(numbers[1], difference(worst, unit), channel.key);
                near(numbers[2], shown(worst_speed, "rpm"), channel.key);
                near(numbers[3], lag_correlation, channel.key);
            }
        }
        const first = block(page, "intake temperature");
        await first.locator("summary").click();
        await first.locator(".data tbody tr").first().waitFor();
        const table = await first.locator(".data tbody tr").evaluateAll((all) => all.map((row) => [...row.cells].map((cell) => cell.textContent)));
        const n = data.pulls.length;
        assert.ok(table.length >= 15 && table.every((row) => row.length === 1 + 3 * n));
        let compared = 0;
        for (const row of table)
            for (let p = 0; p < n; p++) {
                const [measured, computed, left] = [0, 1, 2].map((k) => row[1 + k * n + p]);
                if (left.startsWith("–")) continue;
                assert.ok(Math.abs(numberOf(computed) - numberOf(measured) - numberOf(left)) <= 0.15 + 1e-9, `${row[0]} rpm: ${computed} ${measured} ${left}`);
                compared++;
            }
        assert.ok(compared > 80, `${compared} places`);
        await page.close();
    });

    test("shows the pulls that are chosen, alone or by variant", async () => {
        const page = await openPage(file);
        const plot = block(page, "intake temperature").getByRole("figure").last();
        await plot.scrollIntoViewIfNeeded();
        const picker = page.getByLabel("Charts show");
        assert.equal(await plot.locator(".plot-key").count(), 6);
        await picker.selectOption({ label: "all of deep" });
        assert.deepEqual(await plot.locator(".mark").allInnerTexts(), ["D", "E", "F"]);
        await picker.selectOption({ label: "B spring-2" });
        assert.deepEqual(await plot.locator(".mark").allInnerTexts(), ["B"]);
        await page.waitForTimeout(300);
        await picture(page, "matched-one-pull");
        await picker.selectOption({ label: "all pulls" });
        assert.equal(await plot.locator(".plot-key").count(), 6);
        await page.close();
    });

    test("shows fitted values with their doubt, and signs of correlations by hatching too", async () => {
        const page = await openPage(file);
        const section = page.getByRole("region", { name: "What was fitted" });
        const rows = await section.locator("table").first().locator("tbody tr").evaluateAll((all) => all.map((row) => [...row.cells].map((cell) => cell.textContent)));
        assert.deepEqual(rows[0], ["1", "heat conductance of the core", "slim", "0.931 ± 0.042", "1.000 ± 0.150", ""]);
        assert.deepEqual(rows[2].slice(2), ["the rig", "1.250nothing tells", "–nothing was expected", "⊣ at its bound"]);
        assert.equal(rows[4][3].replaceAll("\u00a0", " "), "29.3 °C ± 0.6 K"); // 302.42 K
        const cells = await section.locator(".correlations td.number").evaluateAll((all) => all.map((cell) =>
            ({ text: cell.textContent, hatched: getComputedStyle(cell).backgroundImage.includes("repeating") })));
        const wanted = data.correlations.flatMap((row, i) => row.slice(0, i));
        assert.equal(cells.length, wanted.length);
        for (const [i, { text, hatched }] of cells.entries()) {
            near(text, wanted[i], `correlation ${i}`);
            assert.equal(hatched, wanted[i] < 0);
        }
        await page.getByRole("radio", { name: "US" }).check();
        assert.match(await section.locator("table").first().innerText(), /84\.7 ± 1\.1\s°F/); // 0.6 K
        await page.close();
    });

    test("splits the change between two pulls by cause", async () => {
        const page = await openPage(file);
        const [explanation] = data.explanations;
        const section = page.getByRole("region", { name: "Why the two pulls differ" });
        assert.equal(await section.getByRole("heading", { level: 3 }).innerText(), "From spring-2 (spring practice, second pull) to summer-2 (summer test day, second pull)");
        const names = await section.locator(".by-cause tbody th").allInnerTexts();
        assert.deepEqual(names, ["spring-2", ...explanation.causes.map((c) => c.title), "summer-2"]);
        const shares = await section.locator(".by-cause tbody tr:not(.end) td:nth-child(2)").allInnerTexts();
        shares.forEach((text, k) => near(text, explanation.figures[0].shares[k].share, `share ${k}`));
        await page.close();
    });

    test("says so where an interval is open or nothing tells", async () => {
        const [comparison] = data.comparisons;
        const open = { ...comparison.figures[2], low: null, high: null };
        const nothing = data.correlations.map((row, i) => row.map((r, k) => (i === 2 && k < 2 ? null : r)));
        const page = await openPage(pageOf(sample({
            comparisons: [{ ...comparison, figures: [open] }], correlations: nothing, explanations: [data.explanations[0],
                { ...data.explanations[0], to: { name: "summer-3", title: "summer-3" } }],
        })));
        const [[row]] = await changes(page);
        assert.equal(row.numbers[3], "open to open");
        assert.deepEqual([row.low, row.high, row.verdict], [0, 100, "cannot tell"]);
        assert.deepEqual(await page.locator(".correlations tbody tr").nth(1).locator("td.number").allInnerTexts(), Array(2).fill("–\nnothing tells"));
        assert.equal(await page.locator("h2", { hasText: "Why the pulls differ" }).count(), 1);
        assert.deepEqual(await accessibilityFindings(page), []);
        assert.deepEqual(page.noted.errors, []);
        await page.close();
    });

    test("leaves out what a document does not hold", async () => {
        const page = await openPage(pageOf(sample({ comparisons: [], checklist: [], explanations: [], headline: { metric: "", us: "" } })));
        assert.deepEqual(await page.locator("h2").allInnerTexts(), ["The pulls", "Measured and simulated", "What was fitted",
            "How to read this", "Cautions", "How this was computed"]);
        assert.equal(await page.locator(".lead").isVisible(), false);
        assert.deepEqual(page.noted.errors, []);
        await page.close();
    });

    for (const colorScheme of ["light", "dark"])
        test(`has no accessibility findings, ${colorScheme}`, async () => {
            const page = await openPage(file, { colorScheme });
            await page.locator("details").first().locator("summary").click();
            assert.deepEqual(await accessibilityFindings(page), []);
            await picture(page, `matched-${colorScheme}`, { fullPage: true });
            await page.close();
        });

    test("fits a phone, where each change stands whole in sight", async () => {
        const page = await openPage(file, { width: 390, height: 800 });
        assert.equal(await overflows(page), false);
        for (const name of [".whisker-cell .whisker", ".verdict strong", ".changes td.number"])
            for (const cell of await page.locator(`tbody ${name}`).all()) {
                const box = await cell.boundingBox();
                assert.ok(box.x >= 0 && box.x + box.width <= 391, `${name} ends at ${box.x + box.width}`);
            }
        assert.deepEqual(await accessibilityFindings(page), []);
        await picture(page, "matched-phone", { fullPage: true });
        await page.close();
    });

    test("prints its tables whole", async () => {
        const page = await openPage(file, { width: 720 });
        await page.emulateMedia({ media: "print" });
        const tooWide = await page.$$eval("table", (all) => all.filter((t) => t.getBoundingClientRect().width > document.body.clientWidth).length);
        assert.equal(tooWide, 0);
        await picture(page, "matched-print", { fullPage: true });
        await page.close();
    });
});

describe("what the program writes of the shipped pulls", () => {
    let measured;
    before(() => {
        measured = matchOf(study("what-the-core-did"));
        assert.equal(measured.run.status, 0, measured.run.err);
    });

    test("is drawn whole: every comparison, pull, channel, fitted value and cause", async () => {
        const page = await openPage(measured.file);
        const { comparisons, fit, pulls, explained } = measured.numbers;
        const tables = await changes(page);
        assert.deepEqual(tables.map((rows) => rows.map((r) => r.verdict)), comparisons.map((c) => c.figures.map((f) => f.verdict)));
        for (const [k, c] of comparisons.entries())
            for (const [i, f] of c.figures.entries()) {
                const row = tables[k][i];
                const sides = [row.low < row.zero, row.high > row.zero];
                assert.deepEqual(sides, [f.low < 0, f.high > 0], f.key);
            }
        for (const pull of pulls) assert.ok(await page.getByText(pull.name, { exact: true }).first().isVisible(), pull.name);
        assert.equal(await page.locator("table.by-cause").count(), explained.figures.length);
        const text = await page.locator("main").innerText();
        for (const u of fit.unknowns) assert.ok(text.includes(u.title), u.title);
        assert.ok(!/\b(undefined|NaN|null|Infinity)\b/.test(text), text.match(/.{20}\b(undefined|NaN|null|Infinity)\b/)?.[0]);
        assert.deepEqual(page.noted.errors, []);
        await picture(page, "measured-demo", { fullPage: true });
    });

    test("fits a phone, in US units and in the dark", async () => {
        const page = await openPage(measured.file, { width: 390, height: 844, colorScheme: "dark" });
        await page.getByRole("radio", { name: "US" }).check();
        assert.equal(await overflows(page), false);
        assert.deepEqual(page.noted.errors, []);
        await picture(page, "measured-demo-phone", { fullPage: true });
    });
});
