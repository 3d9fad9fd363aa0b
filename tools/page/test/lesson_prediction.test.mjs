import assert from "node:assert/strict";
import { test } from "node:test";
import { offText, predictionText, readNumber, valueText, wayOf } from "../src/lesson/prediction.ts";
import { Formats } from "../src/units.ts";

// NIST SP 811 (2008), appendix B.8: degF = 1.8 degC + 32.
const units = {
    "K|t": { metric: { unit: "degC", scale: 1, offset: -273.15 }, us: { unit: "degF", scale: 1.8, offset: -459.67 } },
    "dK|t": { metric: { unit: "K", scale: 1, offset: 0 }, us: { unit: "degF", scale: 1.8, offset: 0 } },
};
const metric = new Formats(units, "metric"), us = new Formats(units, "us");
const space = "\u00a0";
const words = { less: "cooler", more: "hotter", decimals: 1, difference: "dK|t" };
const change = { ...words, unit: "dK|t", is_difference: true, alike_within: 1 };
const level = { ...words, unit: "K|t", is_difference: false, alike_within: null };

test("A number is read with its sign, a comma and the unit that is shown", () => {
    for (const text of ["-3.5", "\u22123,5", " -3.5 K", "-3,5K"]) assert.equal(readNumber(text, "K"), -3.5, text);
    assert.equal(readNumber(".5", "K"), 0.5);
    assert.equal(readNumber(`4 N${space}m`, `N${space}m`), 4);
    for (const text of ["", "-", "warm", "3 kPa", "1e3", "1.2.3", "3-"]) assert.equal(readNumber(text, "K"), null, text);
});

test("Less than the stated width is no way at all", () => {
    assert.deepEqual([-1.01, -1, -0.99, 0, 0.99, 1].map((si) => wayOf(si, change)), [-1, -1, 0, 0, 0, 1]);
    assert.equal(wayOf(0, { ...change, alike_within: null }), 0);
});

test("A difference is said by its way, a level by its number", () => {
    assert.equal(valueText(-2, change, metric), `2.0${space}K cooler`);
    assert.equal(valueText(2, change, us), `3.6${space}°F hotter`);
    assert.equal(valueText(333.15, level, metric), `60.0${space}°C`);
    assert.equal(predictionText({ kind: "way", way: 0 }, change, metric), "about the same");
});

test("What a prediction is off has the unit of a difference, and says on which side", () => {
    assert.equal(offText({ kind: "number", si: -5 }, -15, change, metric), `10.0${space}K, yours is hotter`);
    assert.equal(offText({ kind: "number", si: 330 }, 331, level, us), `1.8${space}°F, yours is cooler`);
    assert.equal(offText({ kind: "number", si: 5.04 }, 5, change, metric), "none that is shown");
});

test("A way is the same, the other one, or another", () => {
    const off = (way, answer) => offText({ kind: "way", way }, answer, change, metric);
    assert.equal(off(1, 3), "the same");
    assert.equal(off(0, 0.4), "the same");
    assert.equal(off(-1, 3), "the other one");
    assert.equal(off(0, 3), "another one");
    assert.equal(off(1, 0.4), "another one");
});
