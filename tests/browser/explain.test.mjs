// The page of a change split by cause, in a browser.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import { accessibilityFindings, closeBrowser, numberOf, openPage, overflows, picture, pullcast, shown, temporaryFolder, writeStudy } from "./harness.mjs";

after(closeBrowser);

let file, explained;
before(() => {
    const study = writeStudy(`rig = "RIG"
title = "Warm day <i>&</i>"
[variant.cool]
[variant.warm]
title = "warm day, 80 mm pulley"
[variant.warm.set]
"ambient.temperature" = "33 degC"
"drive.parts.pulley" = "pulley-80"
"common.start_coolant_temperature" = "45 degC"
`);
    const folder = join(temporaryFolder(), "results");
    const run = pullcast("explain", study, "warm", "--out", folder);
    assert.equal(run.status, 0, run.err);
    file = join(folder, "explain.html");
    explained = JSON.parse(readFileSync(join(folder, "explain.json"), "utf8"));
});

/// Rows of one table: heading, numbers, and what is drawn, in thousandths of the width.
const tables = (page) => page.$$eval("table.by-cause", (all) => all.map((table) => ({
    unit: table.querySelector("thead th + th").textContent.replace(/^share(, )?/, ""),
    rows: [...table.querySelectorAll("tbody tr")].map((row) => ({
        name: row.querySelector("th").textContent,
        numbers: [...row.querySelectorAll(".number")].map((cell) => cell.textContent),
        drawn: [...row.querySelectorAll("rect, .level")].map((e) => e.localName === "rect"
            ? { kind: e.getAttribute("class"), from: +e.getAttribute("x"), to: +e.getAttribute("x") + +e.getAttribute("width") }
            : { kind: "level", from: +e.getAttribute("x1"), to: +e.getAttribute("x2") }),
    })),
})));

/// Half of a shown number's last digit.
const halfDigit = (text) => 0.5 * 10 ** -(text.split(".")[1]?.length ?? 0) * (1 + 1e-9);

async function expectNumbersOfTheJson(page) {
    const found = await tables(page);
    assert.equal(found.length, explained.figures.length);
    for (const [i, figure] of explained.figures.entries()) {
        const difference = (si) => shown(si, found[i].unit) - (figure.difference_unit === "dK" ? shown(0, found[i].unit) : 0);
        assert.deepEqual(found[i].rows.map((r) => r.name), ["cool", ...explained.causes.map((c) => c.title), "warm"]);
        for (const [k, share] of figure.shares.entries())
            for (const [n, key] of ["share", "alone", "last"].entries()) {
                const text = found[i].rows[k + 1].numbers[n];
                assert.ok(Math.abs(numberOf(text) - difference(share[key])) <= halfDigit(text), `${figure.key}: ${text} for ${share[key]}`);
            }
    }
}

describe("the page of a change by cause", () => {
    test("asks for nothing else, raises no error, and shows no text as markup", async () => {
        const page = await openPage(file);
        await page.waitForSelector("table.by-cause");
        assert.deepEqual(page.noted.errors, []);
        assert.deepEqual(page.noted.requests, [`file://${file}`]);
        assert.equal(await page.locator("h1").innerText(), "Warm day <i>&</i>");
        await picture(page, "explained", { fullPage: true });
        await page.close();
    });

    test("shows the numbers of explain.json, in metric and in US units", async () => {
        const page = await openPage(file);
        await expectNumbersOfTheJson(page);
        assert.match(await page.locator(".explained-figure p").first().innerText(), /\d\skW;/);
        await page.getByRole("radio", { name: "US" }).check();
        await expectNumbersOfTheJson(page);
        assert.match(await page.locator(".explained-figure p").first().innerText(), /\d\shp;/);
        await page.close();
    });

    test("draws a chain of bars from one value to the other, to scale", async () => {
        const page = await openPage(file);
        for (const [i, { rows }] of (await tables(page)).entries()) {
            const figure = explained.figures[i];
            const [first, last] = [rows[0].drawn[0].from, rows.at(-1).drawn[0].from];
            const scale = (last - first) / figure.change; // thousandths of the width for one of the unit
            let at = first;
            for (const [k, { share }] of figure.shares.entries()) {
                const { kind, from, to } = rows[k + 1].drawn[0];
                assert.equal(kind, share >= 0 ? "up" : "down");
                assert.ok(Math.abs((kind === "up" ? from : to) - at) < 0.21, `${figure.key}: bar ${k} begins where the last one ended`);
                assert.ok(Math.abs(to - from - Math.abs(share) * scale * Math.sign(scale)) < 0.21, `${figure.key}: length of bar ${k}`);
                at = kind === "up" ? to : from;
            }
            assert.ok(Math.abs(at - last) < 0.21);
        }
        const cell = await page.locator("tr:not(.end) td.steps").first().boundingBox();
        const drawing = await page.locator("tr:not(.end) td.steps svg").first().boundingBox();
        assert.ok(Math.abs(cell.height - drawing.height) < 1.5 && Math.abs(cell.width - drawing.width) < 1.5, "a drawing fills its cell");
        await page.close();
    });

    for (const colorScheme of ["light", "dark"])
        test(`has no accessibility findings, ${colorScheme}`, async () => {
            const page = await openPage(file, { colorScheme });
            assert.deepEqual(await accessibilityFindings(page), []);
            await picture(page, `explained-${colorScheme}`);
            await page.close();
        });

    test("fits a phone, where the pictures stay in sight", async () => {
        const page = await openPage(file, { width: 360, height: 740 });
        assert.equal(await overflows(page), false);
        const box = await page.locator("td.steps svg").first().boundingBox();
        assert.ok(box.x + box.width <= 360 + 1, `the picture ends at ${box.x + box.width}`);
        assert.deepEqual(await accessibilityFindings(page), []);
        await picture(page, "explained-phone");
        await page.close();
    });

    test("prints its tables whole", async () => {
        const page = await openPage(file, { width: 720 });
        await page.emulateMedia({ media: "print" });
        const tooWide = await page.$$eval("table.by-cause", (all) => all.filter((t) => t.getBoundingClientRect().width > document.body.clientWidth).length);
        assert.equal(tooWide, 0);
        await picture(page, "explained-print", { fullPage: true });
        await page.close();
    });
});
