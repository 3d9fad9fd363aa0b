import assert from "node:assert/strict";
import { test } from "node:test";
import { stepTitles, stripsOf } from "../src/day_axis.ts";
import { clockText, durationText } from "../src/day_clock.ts";
import { piecesOf } from "../src/day_heat.ts";
import { pullChoices, pullRun } from "../src/day_pulls.ts";

test("a clock has minutes and seconds, and tenths that carry over", () => {
    assert.equal(clockText(0), "0:00");
    assert.equal(clockText(136.4), "2:16");
    assert.equal(clockText(59.97, 1), "1:00.0");
    assert.equal(clockText(5.04, 1), "0:05.0");
    assert.equal(clockText(-3), "\u22120:03");
    assert.equal(clockText(3720), "62:00");
    assert.equal(durationText(89.4), "89\u00a0s");
    assert.equal(durationText(125), "2\u00a0min 05\u00a0s");
});

test("pieces of a bar follow each other, and what came back stands left of zero", () => {
    const pieces = piecesOf([["a", 30], ["b", -10], ["c", 50], ["d", -10]], 0.2, 100);
    const wanted = [[0.2, 0.3], [0.1, 0.1], [0.5, 0.5], [0, 0.1]];
    pieces.forEach(({ left, width }, k) => wanted[k].forEach((w, i) => assert.ok(Math.abs([left, width][i] - w) < 1e-12)));
});

const step = (kind, begin, end, rows, name = kind) => ({ kind, name, title: name, from: begin, begin, end, early: false, ended: {}, rows });
const variant = (begin) => ({
    name: "car", title: "car", steps: [step("pull", 3, 13, [0, 2]), step("idle", 13, begin - 3, [3, 4]), step("pull", begin, begin + 10, [6, 8])],
    time: [3, 8, 13, 13, begin - 3, begin - 1.5, begin, begin + 5, begin + 10], speed: [200, 400, 600, 90, 90, 90, 200, 400, 600],
    curves: { t: [1, 2, 3, 4, 5, null, 6, 7, 8], none: null }, pulls: [{ step: 0 }, { step: 2 }],
});
const day = (begin, index) => ({ variant: variant(begin), style: { index } });

test("pulls are numbered, other steps have their own titles", () => {
    assert.deepEqual(stepTitles(variant(100).steps), ["pull 1", "idle", "pull 2"]);
});

test("variants whose steps lie alike share a strip", () => {
    assert.deepEqual(stripsOf([day(100, 0), day(101, 1), day(150, 2)]).map(({ days }) => days.length), [2, 1]);
});

test("a pull's run starts where the throttle opens and has none of its neighbours' rows", () => {
    const { variant: run } = pullRun(variant(100), 1, {}, "pull 2");
    assert.deepEqual(run.time, [0, 5, 10]);
    assert.deepEqual(run.curves, { t: [6, 7, 8], none: null });
    assert.deepEqual(run.speed, [200, 400, 600]);
});

test("offers all pulls of a variant, and each pull of all variants", () => {
    const both = pullChoices([day(100, 0), day(150, 1)]);
    assert.deepEqual(both.map(({ runs }) => runs.length), [2, 2, 2, 2]);
    assert.deepEqual(both[3].runs.map(({ style }) => style.index), [0, 1]);
    assert.equal(pullChoices([day(100, 0)]).length, 1);
});
