import assert from "node:assert/strict";
import { test } from "node:test";
import { Knobs, stepDecimals } from "../src/live/knobs.ts";

// NIST SP 811 (2008), appendix B.8: degF = 1.8 degC + 32; 1 in = 25.4 mm.
const units = {
    "K|t": { metric: { unit: "degC", scale: 1, offset: -273.15 }, us: { unit: "degF", scale: 1.8, offset: -459.67 } },
    "dK|t": { metric: { unit: "K", scale: 1, offset: 0 }, us: { unit: "degF", scale: 1.8, offset: 0 } },
    "m|d": { metric: { unit: "mm", scale: 1e3, offset: 0 }, us: { unit: "in", scale: 1 / 0.0254, offset: 0 } },
    "rad|s": {
        metric: { unit: "deg", scale: 180 / Math.PI, offset: 0 },
        us: { unit: "deg", scale: 180 / Math.PI, offset: 0 },
    },
    "": { metric: { unit: "", scale: 1, offset: 0 }, us: { unit: "", scale: 1, offset: 0 } },
};
const degree = Math.PI / 180;
const ambient = {
    name: "ambient", title: "ambient temperature", choices: null, unit: "K|t", step_unit: "dK|t",
    from: 278.15, to: 313.15, step: 1,
    start: { base: 297.15, hot: 303.15, none: null }, write: { metric: "degC", us: "degF" },
};
const pulley = {
    name: "pulley", title: "pulley", choices: null, unit: "m|d", step_unit: "m|d", from: 0.07, to: 0.101, step: 0.002,
    start: { base: 0.0915, hot: 0.08, none: 0.08 }, write: { metric: "mm", us: "in" },
};
const spark = {
    name: "spark", title: "spark", choices: null, unit: "rad|s", step_unit: "rad|s", from: -8 * degree, to: 4 * degree,
    step: 0.5 * degree, start: { base: 0, hot: 0, none: 0 }, write: { metric: "deg", us: "deg" },
};
const core = {
    name: "core", title: "core",
    choices: [{ value: "slim", label: "slim core" }, { value: "deep", label: "deep core" }],
    unit: "", step_unit: "", from: 0, to: 0, step: 0,
    start: { base: "slim", hot: "deep", none: null }, write: { metric: "", us: "" },
};
const variants = ["base", "hot", "none"].map((name) => ({ name }));
const live = { token: "", knobs: [ambient, pulley, spark, core], start: "base" };
const make = () => new Knobs({ units, variants, live });

test("Decimals tell a step from its neighbours, and no more", () => {
    assert.deepEqual([1, 5, 0.5, 1.8, 0.25, 0.0787, 0.145].map(stepDecimals), [0, 0, 1, 1, 2, 2, 2]);
});

test("A slider writes its value with the unit of the chosen system as the study reader spells it", () => {
    const knobs = make();
    knobs.slide(ambient, 26, "metric");
    assert.deepEqual(knobs.sent(), { ambient: "31 degC" });
    knobs.slide(ambient, 26, "us"); // 31 degC = 87.8 degF
    assert.deepEqual(knobs.sent(), { ambient: "87.8 degF" });
});

test("The last tick of a slider is the end of the range even where steps do not reach it", () => {
    const knobs = make();
    assert.equal(knobs.range(pulley, "metric").ticks, 16);
    knobs.slide(pulley, 16, "metric");
    assert.deepEqual(knobs.sent(), { pulley: "101 mm" });
});

test("What a slider writes is read back to its own tick in both systems", () => {
    const knobs = make();
    for (const knob of [ambient, pulley, spark])
        for (const system of ["metric", "us"]) {
            const range = knobs.range(knob, system);
            for (let tick = 0; tick <= range.ticks; tick++)
                assert.equal(range.tick(range.read(range.text(range.at(tick)))), tick);
        }
});

test("No slider writes a minus before zero", () => {
    assert.equal(make().range(spark, "metric").text(-1e-12), "0.0 deg");
});

test("A start value between two ticks is shown with one more decimal", () => {
    assert.equal(make().shown(pulley, "metric"), "91.5 mm");
});

test("A typed text is sent as typed, and the slider follows where its unit is one of the two systems'", () => {
    const knobs = make();
    knobs.type(ambient, " 88 degF ");
    assert.deepEqual(knobs.sent(), { ambient: "88 degF" });
    assert.ok(Math.abs(knobs.position(ambient) - (273.15 + (88 - 32) / 1.8)) < 1e-9);
    assert.equal(knobs.shown(ambient, "us"), "88 °F");
    assert.equal(knobs.shown(ambient, "metric"), "31.1 °C");
    assert.deepEqual(knobs.sent(), { ambient: "88 degF" });
});

test("A unit that only the program reads stays as typed and leaves the slider's place unknown", () => {
    const knobs = make();
    knobs.type(ambient, "550 degR");
    assert.deepEqual(knobs.sent(), { ambient: "550 degR" });
    assert.equal(knobs.position(ambient), null);
    assert.equal(knobs.shown(ambient, "us"), "550 degR");
});

test("The sign of print and of the keyboard are both read, and sent as the study reader spells them", () => {
    const knobs = make();
    knobs.type(ambient, "31\u00a0°C");
    assert.deepEqual(knobs.sent(), { ambient: "31 degC" });
    knobs.type(spark, "\u22122 deg");
    assert.equal(knobs.sent().spark, "-2 deg");
});

test("A knob that is back at its start is no longer sent", () => {
    const knobs = make();
    knobs.slide(ambient, 20, "metric");
    assert.ok(knobs.differs(ambient));
    knobs.slide(ambient, 19, "metric");
    assert.ok(!knobs.differs(ambient));
    knobs.type(ambient, "30 degC");
    knobs.type(ambient, "24 degC");
    assert.deepEqual(knobs.sent(), {});
    knobs.choose(core, "deep");
    knobs.choose(core, "slim");
    assert.deepEqual(knobs.sent(), {});
    knobs.type(ambient, "30 degC");
    knobs.type(ambient, "");
    assert.deepEqual(knobs.sent(), {});
});

test("From another start, what it has anyway is dropped and the rest is kept", () => {
    const knobs = make();
    knobs.slide(ambient, 25, "metric"); // 30 degC, where "hot" starts
    knobs.choose(core, "deep");
    knobs.slide(spark, 0, "metric");
    knobs.startFrom("hot");
    assert.deepEqual(knobs.sent(), { spark: "-8.0 deg" });
});

test("A knob without a start value is not sent until it is turned", () => {
    const knobs = make();
    knobs.startFrom("none");
    assert.equal(knobs.position(ambient), null);
    assert.equal(knobs.shown(ambient, "metric"), "");
    assert.deepEqual(knobs.sent(), {});
});

test("What was kept is restored, and what the study no longer knows is left out", () => {
    const knobs = make();
    knobs.restore("hot", { ambient: "88 degF", core: "gone", old: "1" });
    assert.equal(knobs.start, "hot");
    assert.deepEqual(knobs.sent(), { ambient: "88 degF" });
    const other = make();
    other.restore("gone", { ambient: "88 degF" });
    assert.deepEqual([other.start, other.sent()], ["base", {}]);
});
