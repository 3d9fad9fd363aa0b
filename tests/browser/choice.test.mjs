// The page of a choice of parts in a browser. Its numbers are checked against choice.json by unit factors of our own.
import assert from "node:assert/strict";
import { readFileSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import { accessibilityFindings, choiceOf, closeBrowser, numberOf, openPage, overflows, picture, shown, temporaryFolder,
    writeStudy } from "./harness.mjs";

after(closeBrowser);

// 17 combinations and the car as it stands, each under three conditions.
const parts = `
title = "Which <i>&</i> first?"
question = "where does the money go?"
note = "An invented question."
rig = "RIG"
[procedure]
output_step = "50 ms"
[variant.car]
[knob.pulley]
title = "pulley"
sets = "drive.parts.pulley"
choices = ["pulley-92", "pulley-86", "pulley-80"]
[buy.pulley]
[knob.core]
title = "charge <cooler>"
sets = "cooler.parts.core"
choices = ["slim-core", "deep-core", "rated-core"]
[buy.core]
[knob.pump]
title = "coolant pump"
sets = "pump.parts.unit"
choices = ["small-pump", "large-pump"]
[buy.pump]
`;
const weather = `
[knob.weather]
title = "weather"
sets = "ambient.parts.weather"
choices = ["pass-cool", "coast-morning", "valley-hot"]
[meet.weather]
`;
const coolant = `
[knob.coolant]
title = "coolant at the start"
sets = "common.start_coolant_temperature"
from = "15 degC"
to = "60 degC"
[meet.coolant]
mean = "31 degC"
deviation = "4 K"
`;
const wishes = (margin) => `
[choose]
met = 3
seed = 2
shortlist = 4
sensitivity = 4
[wish.power]
title = "peak power"
figure = "crank_power"
prefer = "more"
[wish.margin]
title = "knock margin"
figure = "knock_margin"
at_least = "${margin} deg"
confidence = "60 %"
prefer = "more"
[wish.intake]
title = "intake at the end"
figure = "intake_redline"
at_most = "80 degC"
[wish.budget]
title = "price"
figure = "price"
prefer = "less"
`;

const units = { power: ["kW", "hp"], margin: ["deg", "deg"], intake: ["°C", "°F"] };
const told = { power: "mean", margin: "sure", intake: "sure" };
const halfDigit = (text) => 0.5 * 10 ** -(text.split(".")[1]?.length ?? 0) * (1 + 1e-9);
const near = (text, expected, what) => assert.ok(Math.abs(numberOf(text) - expected) <= halfDigit(text), `${what}: ${text} for ${expected}`);
const difference = (si, unit) => (unit === "°F" ? 1.8 * si : shown(si, unit) - shown(0, unit));

let made, choice;
before(() => {
    made = choiceOf(writeStudy(parts + weather + coolant + wishes(5)));
    choice = made.choice;
});

const rowsOf = (page) => page.$$eval("table.shortlist tbody tr", (rows) => rows.map((row) => ({
    combination: Number(row.dataset.combination),
    numbers: [...row.querySelectorAll("td.number")].map((cell) => [cell.querySelector(".told")?.textContent, ...[...cell.querySelectorAll(".below")].map((b) => b.textContent)]),
})));

async function expectShortlist(page, system) {
    const rows = await rowsOf(page);
    assert.deepEqual(rows.map((row) => row.combination), [0, ...choice.shortlist.filter((k) => k !== 0)]);
    for (const { combination, numbers } of rows) {
        const one = choice.combinations[combination];
        near(numbers[0][0], one.price, "price");
        Object.entries(units).forEach(([name, of], w) => {
            const unit = of[system === "us" ? 1 : 0];
            const wish = one.wishes[name];
            const [value, ...below] = numbers[w + 1];
            near(value, shown(wish[told[name]], unit), name);
            if (combination !== 0) near(below.shift().split("\u00a0")[0], difference(wish[told[name]] - choice.combinations[0].wishes[name][told[name]], unit), `change of ${name}`);
            near(below[0].split(" ")[1], shown(wish[told[name] === "mean" ? "sure" : "mean"], unit), `other number of ${name}`);
            if (name !== "power") near(below[1].match(/\d+/)[0], 100 * wish.share, `share of ${name}`);
        });
    }
}

/// A page with a document that was changed.
function changed(change) {
    const html = readFileSync(made.file, "utf8");
    const found = /(<script type="application\/json" id="pullcast-page">)(.*?)(<\/script>)/s.exec(html);
    const data = JSON.parse(found[2]);
    change(data);
    const file = join(temporaryFolder(), "report.html");
    writeFileSync(file, html.replace(found[0], () => found[1] + JSON.stringify(data).replaceAll("<", "\\u003c") + found[3]));
    return file;
}

const marksOf = (page) => page.$$eval(".all-marks circle", (all) => all.map((one) => ({
    k: Number(one.dataset.k), x: Number(one.getAttribute("cx")), y: Number(one.getAttribute("cy")), r: Number(one.getAttribute("r")), kind: one.getAttribute("class"),
})));

/// Marks lie on a straight line against the numbers that they stand for.
function expectLinear(places, values, sign, what, within = 0.2) {
    const [low, high] = [values.indexOf(Math.min(...values)), values.indexOf(Math.max(...values))];
    const slope = (places[high] - places[low]) / (values[high] - values[low]);
    assert.ok(sign * slope > 0, what);
    places.forEach((place, k) => assert.ok(Math.abs(place - places[low] - slope * (values[k] - values[low])) < within, `${what}: ${place}`));
}

describe("the page of a choice of parts", () => {
    test("asks for nothing else, raises no error, and shows no text as markup", async () => {
        assert.equal(made.run.status, 0, made.run.err);
        assert.ok(made.run.err.includes("report.html"), made.run.err);
        const page = await openPage(made.file);
        await page.evaluate(() => scrollTo(0, document.body.scrollHeight));
        await page.waitForTimeout(300);
        assert.deepEqual(page.noted.errors, []);
        assert.deepEqual(page.noted.requests, [`file://${made.file}`]);
        assert.equal(await page.locator("h1").innerText(), "Which <i>&</i> first?");
        assert.deepEqual(await page.locator("h2").allInnerTexts(), ["What to buy first, and what more money buys", "Shortlist", "What was wished for",
            "All combinations", "What is given for what", "Which uncertainty matters most", "How to read this", "Cautions", "How this was computed"]);
        await page.close();
    });

    test("shows the shortlist in its order, with the numbers of the results, in both systems of units", async () => {
        assert.ok(choice.shortlist.length > 1);
        const page = await openPage(made.file);
        await expectShortlist(page, "metric");
        assert.match(await page.locator(".lead").innerText(), /\d\skW/);
        await page.getByRole("radio", { name: "US" }).check();
        await expectShortlist(page, "us");
        assert.match(await page.locator(".lead").innerText(), /\d\shp/);
        await page.close();
    });

    test("orders the shortlist by any number, the better first, and back by the keyboard", async () => {
        const page = await openPage(made.file);
        const by = (value, sense) => [0, ...choice.shortlist.filter((k) => k !== 0).sort((a, b) => sense * (value(b) - value(a)))];
        const order = async () => (await rowsOf(page)).map((row) => row.combination);
        await page.getByRole("button", { name: "price, EUR" }).click();
        assert.deepEqual(await order(), by((k) => choice.combinations[k].price, -1));
        await page.getByRole("button", { name: "knock margin" }).focus();
        await page.keyboard.press("Enter");
        assert.deepEqual(await order(), by((k) => choice.combinations[k].wishes.margin.sure, 1));
        await page.keyboard.press("Enter");
        assert.deepEqual(await order(), by((k) => choice.combinations[k].wishes.margin.sure, -1));
        assert.equal(await page.locator("[aria-sort]").count(), 1);
        await page.getByRole("button", { name: "choice" }).click();
        assert.deepEqual(await order(), by((k) => -choice.shortlist.indexOf(k), 1));
        await page.close();
    });

    test("says what more money buys, row by row", async () => {
        assert.ok(choice.money.length > 0);
        const page = await openPage(made.file);
        const drawer = page.locator(".all-steps");
        if (await drawer.count()) await drawer.locator("summary").click();
        const table = page.locator("table.money").last();
        const rows = await table.locator("tbody tr").evaluateAll((all) => all.slice(1).map((row) => [...row.querySelectorAll("td.number")].map((cell) => cell.lastChild.textContent)));
        assert.equal(rows.length, choice.money.length);
        choice.money.forEach((step, k) => {
            const [altogether, more, lead, gain, range] = rows[k];
            near(altogether, choice.combinations[step.to].price, "altogether");
            near(more, step.price, "more money");
            near(lead, shown(choice.combinations[step.to].wishes.power.mean, "kW"), "power");
            near(gain, shown(step.gain, "kW"), "gain");
            range.split(" to ").forEach((text, end) => near(text, shown([step.lowest, step.highest][end], "kW"), "range"));
        });
        await page.close();
    });

    test("draws one mark a combination, where its price and its power are, and says which are kept out", async () => {
        const page = await openPage(made.file);
        await page.locator(".all-marks").scrollIntoViewIfNeeded();
        const marks = await marksOf(page);
        assert.equal(marks.length, choice.combinations.length);
        const of = (mark) => choice.combinations[mark.k];
        for (const mark of marks) assert.equal(mark.kind, of(mark).eligible ? "eligible" : "refused");
        expectLinear(marks.map((m) => m.x), marks.map((m) => of(m).price), 1, "price");
        expectLinear(marks.map((m) => m.y), marks.map((m) => of(m).wishes.power.mean), -1, "power");
        const named = await page.$$eval(".names .named", (all) => all.map((one) => Number(one.dataset.k)));
        assert.deepEqual(named, [0, ...choice.shortlist.filter((k) => k !== 0)]);
        assert.deepEqual((await page.$$eval(".stage .front path", (all) => all.map((one) => Number(one.dataset.k)))).sort(), [...choice.front].sort());
        const stairs = await page.locator(".way .stairs").getAttribute("d");
        assert.equal(stairs.match(/V/g).length, choice.money.length);
        await page.close();
    });

    test("draws any two numbers against each other, sizes by a third, and those alone that grant every wish", async () => {
        const page = await openPage(made.file);
        await page.getByLabel("Across").selectOption({ label: "intake at the end" });
        await page.getByLabel("Up", { exact: true }).selectOption({ label: "knock margin" });
        await page.getByLabel("Size of marks").selectOption({ label: "peak power" });
        const marks = await marksOf(page);
        const of = (mark) => choice.combinations[mark.k].wishes;
        expectLinear(marks.map((m) => m.x), marks.map((m) => of(m).intake.sure), 1, "intake");
        expectLinear(marks.map((m) => m.y), marks.map((m) => of(m).margin.sure), -1, "margin");
        expectLinear(marks.map((m) => m.r ** 2), marks.map((m) => of(m).power.mean / 1e3), 1, "area", 0.06);
        assert.equal(await page.locator(".way .stairs").count(), 0);
        await picture(page, "choice-axes", { fullPage: true });
        await page.getByRole("radio", { name: "those that grant every wish" }).check();
        const wanted = choice.combinations.flatMap((one, k) => (one.eligible || k === 0 ? k : []));
        assert.deepEqual((await marksOf(page)).map((m) => m.k).sort(), wanted.sort());
        await page.close();
    });

    test("reads marks by pointer and keyboard: parts, price, numbers and which wish is broken", async () => {
        const page = await openPage(made.file);
        const readout = page.locator(".readout");
        assert.match(await readout.innerText(), /grants every wish/);
        const stage = page.locator(".choice-picture .stage");
        await stage.focus();
        await page.keyboard.press("Home");
        assert.match(await readout.innerText(), /^as it stands/);
        const seen = new Set();
        for (let k = 0; k < choice.combinations.length; k++) {
            seen.add(await readout.innerText());
            await page.keyboard.press("Shift+ArrowRight");
        }
        assert.equal(seen.size, choice.combinations.length);
        await page.keyboard.press("End");
        const refused = choice.combinations.findIndex((one) => !one.eligible && Object.values(one.wishes).some((w) => !w.holds));
        assert.ok(refused > 0);
        const mark = page.locator(`.all-marks [data-k="${refused}"]`);
        await mark.scrollIntoViewIfNeeded();
        const box = await mark.boundingBox();
        await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
        const text = await readout.innerText();
        assert.ok(text.includes("does not grant: ") && text.includes(`price ${choice.combinations[refused].price}\u00a0EUR`), text);
        await page.close();
    });

    test("has all combinations in a table", async () => {
        const page = await openPage(made.file);
        await page.locator(".choice-picture summary").click();
        const rows = await page.locator(".all-combinations tbody tr").evaluateAll((all) => all.map((row) => [...row.querySelectorAll("td.number")].map((cell) => cell.textContent)));
        assert.equal(rows.length, choice.combinations.length);
        rows.forEach(([price, power, margin, intake], k) => {
            const one = choice.combinations[k];
            near(price, one.price, "price");
            near(power, shown(one.wishes.power.mean, "kW"), "power");
            near(margin, shown(one.wishes.margin.sure, "deg"), "margin");
            near(intake, shown(one.wishes.intake.sure, "°C"), "intake");
        });
        await page.close();
    });

    test("draws a line for each choice over upright axes, up is better, and narrows by range", async () => {
        const page = await openPage(made.file);
        const lines = await page.$$eval(".tradeoffs .listed", (all) => all.map((one) => ({
            k: Number(one.dataset.k), y: [...one.querySelector("path").getAttribute("d").matchAll(/[ML][\d.]+ ([\d.]+)/g)].map((m) => Number(m[1])), dash: one.querySelector("path").getAttribute("stroke-dasharray"),
        })));
        assert.deepEqual(lines.map(({ k }) => k), [0, ...choice.shortlist.filter((k) => k !== 0)]);
        assert.equal(new Set(lines.map(({ dash }) => dash)).size, lines.length);
        const columns = [(one) => -one.price, (one) => one.wishes.power.mean, (one) => one.wishes.margin.sure, (one) => -one.wishes.intake.sure];
        columns.forEach((value, axis) => expectLinear(lines.map(({ y }) => y[axis]), lines.map(({ k }) => value(choice.combinations[k])), -1, `axis ${axis}`));
        await page.getByText("Narrow by range").click();
        const slider = page.getByRole("slider", { name: "price, highest" });
        await slider.focus();
        await page.keyboard.press("Home");
        const eligible = choice.combinations.slice(0).filter((one) => one.eligible);
        const cheapest = eligible.filter((one) => one.price <= 0);
        assert.equal(await page.locator(".kept").innerText(), `${cheapest.length} of the ${eligible.length} that grant every wish lie within these ranges.`);
        await page.close();
    });

    test("shows the shares of variance with their whiskers, most first", async () => {
        const page = await openPage(made.file);
        const tables = await page.$$eval("table.shares", (all) => all.map((table) => [...table.querySelectorAll("tbody tr")].map((row) => ({
            title: row.querySelector("th").textContent, numbers: [...row.querySelectorAll("td.number")].map((cell) => [cell.childNodes[1].textContent, cell.querySelector(".below").textContent]),
            total: parseFloat(row.querySelector("rect.total").getAttribute("width")), line: ["x1", "x2"].map((end) => parseFloat(row.querySelector(".share-whisker line").getAttribute(end))),
        }))));
        const columns = Object.values(choice.sensitivity.shares);
        assert.equal(tables.length, columns.length);
        columns.forEach((column, c) => {
            const sorted = choice.met.map(({ knob, title }) => ({ title, ...column[knob] })).sort((a, b) => b.total.value - a.total.value);
            const reach = Math.max(1, ...sorted.flatMap(({ first, total }) => [first.value, total.value, total.high]));
            sorted.forEach(({ title, total, first }, k) => {
                const row = tables[c][k];
                assert.equal(row.title, title);
                near(row.numbers[0][0].replace(/\s%/, ""), 100 * total.value, title);
                near(row.numbers[1][0].replace(/\s%/, ""), 100 * first.value, title);
                row.numbers[0][1].replace(/\s%/, "").split(" to ").forEach((text, end) => near(text, 100 * [total.low, total.high][end], title));
                const place = (share) => (100 * Math.max(0, share)) / reach;
                assert.ok(Math.abs(row.total - place(total.value)) < 0.01);
                [total.low, total.high].forEach((end, i) => assert.ok(Math.abs(row.line[i] - place(end)) < 0.01));
            });
        });
        await page.close();
    });

    test("says what is kept out by each wish, the seed and the hash, and that all meet the same", async () => {
        const page = await openPage(made.file);
        const rows = await page.locator(".wishes tbody tr").evaluateAll((all) => all.map((row) => [...row.querySelectorAll("td.number")].map((cell) => cell.textContent)));
        choice.wishes.forEach(({ at_least, at_most, refused, refused_alone }, k) =>
            assert.deepEqual(rows[k], at_least === null && at_most === null ? ["–no limit", "–no limit"] : [String(refused), String(refused_alone)]));
        const text = await page.locator("main").innerText();
        for (const piece of [choice.hash, `seed\n${choice.seed}`, "All combinations meet the same conditions", choice.cautions[0]])
            assert.ok(text.includes(piece), piece);
        await page.close();
    });

    test("tells of runs that failed, and draws the others", async () => {
        const file = changed((data) => {
            data.failed = [{ combination: 3, conditions: 2, failure: "the <b>belt</b> came off" }];
            for (const list of data.combinations.wishes) list.mean[3] = list.sure[3] = null;
            data.combinations.eligible[3] = 0;
        });
        const page = await openPage(file);
        assert.equal((await marksOf(page)).length, choice.combinations.length - 1);
        assert.match(await page.locator(".failures").innerText(), /in 2 of 3 conditions: the <b>belt<\/b> came off/);
        assert.deepEqual(page.noted.errors, []);
        await page.close();
    });

    test("has nothing that a reader without eyes or mouse would miss, in light and dark, and fits a phone", async () => {
        for (const look of [{}, { colorScheme: "dark" }, { width: 390 }]) {
            const page = await openPage(made.file, look);
            await page.waitForTimeout(400);
            assert.deepEqual(await accessibilityFindings(page), []);
            assert.equal(await overflows(page), false);
            await picture(page, `choice-${look.colorScheme ?? look.width ?? "light"}`, { fullPage: true });
            await page.close();
        }
    });

    test("prints without a part that is cut off", async () => {
        const page = await openPage(made.file, { width: 720 });
        await page.emulateMedia({ media: "print" });
        assert.equal(await overflows(page), false);
        const pdf = await page.pdf({ format: "A4" });
        assert.ok(pdf.length > 10e3);
        await page.close();
    });

    test("says so where no combination grants every wish", async () => {
        const none = choiceOf(writeStudy(parts + weather + coolant + wishes(60)));
        assert.deepEqual(none.choice.shortlist, []);
        const page = await openPage(none.file);
        assert.match(await page.locator(".lead").innerText(), /^Buy nothing yet: none of 17 combinations grants every wish\. Most are kept out by knock margin/);
        assert.equal(await page.getByText("Nothing is on the shortlist.", { exact: true }).count(), 2);
        assert.equal((await rowsOf(page)).length, 1);
        assert.equal((await marksOf(page)).length, none.choice.combinations.length);
        assert.ok(await page.getByText("Not computed: nothing is on the shortlist").isVisible());
        assert.deepEqual(page.noted.errors, []);
        assert.deepEqual(await accessibilityFindings(page), []);
        await page.close();
    });

    test("says why nothing is told of uncertainty where one thing alone is met", async () => {
        const one = choiceOf(writeStudy(parts + weather + wishes(5)));
        assert.ok(one.choice.shortlist.length > 0);
        const page = await openPage(one.file);
        assert.ok(await page.getByText("Not computed: fewer than two things are met").isVisible());
        assert.equal(await page.locator("table.shares").count(), 0);
        assert.deepEqual(page.noted.errors, []);
        await page.close();
    });

    test("stays below a megabyte with 1,200 combinations", () => {
        const file = changed((data) => {
            const times = Math.ceil(1200 / data.combinations.price.length);
            const longer = (list) => Array.from({ length: times }, () => list).flat();
            const { bought, wishes: all } = data.combinations;
            for (const key of ["price", "eligible"]) data.combinations[key] = longer(data.combinations[key]);
            data.combinations.bought = bought.map(longer);
            data.combinations.wishes = all.map((w) => Object.fromEntries(Object.entries(w).map(([key, list]) => [key, longer(list)])));
        });
        assert.ok(statSync(file).size < 1e6, `${statSync(file).size} bytes`);
    });
});
