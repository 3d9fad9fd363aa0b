import assert from "node:assert/strict";
import { test } from "node:test";
import { Formats, numberText, unitText } from "../src/units.ts";

// NIST SP 811 (2008), appendix B.8: degF = 1.8 degC + 32; 1 psi = 6894.757 Pa.
const units = {
    "K|temperature": {
        metric: { unit: "degC", scale: 1, offset: -273.15 },
        us: { unit: "degF", scale: 1.8, offset: -459.67 },
    },
    "dK|temperature": { metric: { unit: "K", scale: 1, offset: 0 }, us: { unit: "degF", scale: 1.8, offset: 0 } },
    "Pa|boost": {
        metric: { unit: "kPa", scale: 1e-3, offset: 0 },
        us: { unit: "psi", scale: 1 / 6894.757, offset: 0 },
    },
    "N m|torque": { metric: { unit: "N m", scale: 1, offset: 0 }, us: { unit: "lb ft", scale: 0.7375621, offset: 0 } },
    "1|ratio": { metric: { unit: "", scale: 1, offset: 0 }, us: { unit: "", scale: 1, offset: 0 } },
};
const formats = (system) => new Formats(units, system);

test("A temperature is shown in the system that is chosen", () => {
    assert.equal(formats("metric").full("K|temperature", 373.15, 1), "100.0\u00a0°C");
    assert.equal(formats("us").full("K|temperature", 373.15, 1), "212.0\u00a0°F");
});

test("A difference of temperatures has no offset", () => {
    assert.equal(formats("us").signed("dK|temperature", 10, 1), "+18.0");
    assert.equal(formats("us").signed("dK|temperature", -10, 1), "\u221218.0");
});

test("A difference that rounds to none has no sign", () => {
    assert.equal(formats("metric").signed("Pa|boost", 20, 1), "0.0");
    assert.equal(formats("metric").signed("Pa|boost", -20, 1), "0.0");
    assert.equal(formats("metric").signed("Pa|boost", -60, 1), "\u22120.1");
});

test("What is shown turns back into SI", () => {
    const us = formats("us");
    assert.ok(Math.abs(us.si("K|temperature", us.shown("K|temperature", 311.7)) - 311.7) < 1e-9);
});

test("A missing number is a dash", () => {
    assert.equal(formats("metric").text("Pa|boost", null, 1), "–");
});

// The program's own rule for residuals: one digit, and a floor where only rounding is left.
test("A residual has one digit and no sign, and none below rounding", () => {
    assert.equal(numberText(-6.93e-8, -1), "7e\u221208");
    assert.equal(numberText(0.02, -1), "2e\u221202");
    assert.equal(numberText(3e-13, -1), "<1e\u221212");
    assert.equal(numberText(20, -1), "2e+01");
});

test("A number never shows minus zero", () => {
    assert.equal(numberText(-0.04, 1), "0.0");
    assert.equal(numberText(-0.06, 1), "\u22120.1");
});

test("Units are set as in print and do not break", () => {
    assert.equal(unitText("degC"), "°C");
    assert.equal(unitText("kg/m^3"), "kg/m³");
    assert.equal(unitText("N m"), "N\u00a0m");
    assert.equal(unitText("deg"), "deg");
});

test("In a sentence units stay with their number and minus signs are true ones", () => {
    const text = formats("metric").sentence("falls to -4.1 degC, 22.1 kPa and 5 N m more (-3 K), as-is 2 Koalas");
    const minus = "\u2212", space = "\u00a0";
    const expected = "falls to ~4.1_°C, 22.1_kPa and 5_N_m more (~3_K), as-is 2 Koalas";
    assert.equal(text, expected.replaceAll("~", minus).replaceAll("_", space));
});

test("A choice of system is told to all who listen, once, and not if it changes nothing", () => {
    const f = formats("metric");
    let calls = 0;
    const end = f.onChange(() => calls++);
    f.choose("metric");
    f.choose("us");
    end();
    f.choose("metric");
    assert.equal(calls, 1);
});

test("A unit that the data do not name is an error that says which", () => {
    assert.throws(() => formats("metric").unit("m|length"), /'m\|length'/);
});
