import assert from "node:assert/strict";
import { test } from "node:test";
import { whisker } from "../src/whisker.ts";

const near = (a, b) => assert.ok(Math.abs(a - b) < 1e-12, `${a} is not ${b}`);

test("no change stands in the middle, and all parts are to one scale about it", () => {
    const { low, estimate, high, limit } = whisker(-2, 3, 8, -4);
    near((estimate - 0.5) / (high - 0.5), 3 / 8);
    near((low - 0.5) / (high - 0.5), -2 / 8);
    near((limit - 0.5) / (high - 0.5), -4 / 8);
    near(whisker(-1, 0, 1, null).estimate, 0.5);
});

test("what is farthest from no change stands at the margin on its side, be it an end or the limit", () => {
    near(whisker(-9, -7, -5, null).low, 0.04);
    near(whisker(5, 7, 9, null).high, 0.96);
    near(whisker(-1, 0, 1, 3).limit, 0.96);
    near(whisker(-1, 0, 1, -3).limit, 0.04);
});

test("an end that is open stands at the edge, and does not stretch the scale", () => {
    const open = whisker(null, 1, 4, null);
    assert.equal(open.low, 0);
    near(open.high, 0.96);
    near((open.estimate - 0.5) / (open.high - 0.5), 1 / 4);
    assert.equal(whisker(-4, 1, null, null).high, 1);
});

test("an interval without width about no change stands in the middle", () => {
    assert.deepEqual(whisker(0, 0, 0, null), { low: 0.5, estimate: 0.5, high: 0.5, limit: null });
});
