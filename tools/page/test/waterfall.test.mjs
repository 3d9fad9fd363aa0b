import assert from "node:assert/strict";
import { test } from "node:test";
import { waterfall } from "../src/waterfall.ts";

const near = (a, b) => assert.ok(Math.abs(a - b) < 1e-12, `${a} is not ${b}`);

test("each step begins where the last one ended, and the last ends at the other value", () => {
    const { from, to, steps } = waterfall(300, 290, [-15, 4, 1]);
    near(steps[0].start, from);
    near(steps[1].start, steps[0].end);
    near(steps[2].start, steps[1].end);
    near(steps[2].end, to);
});

test("steps are to one scale, and the outermost levels stand at equal margins", () => {
    const { from, steps } = waterfall(300, 290, [-15, 4, 1]);
    near((steps[1].end - steps[1].start) / (steps[0].end - steps[0].start), 4 / -15);
    near(steps[0].end, 1 - from);
    assert.ok(steps[0].end > 0 && from < 1);
});

test("where nothing moves all stands in the middle", () => {
    assert.deepEqual(waterfall(5, 5, [0]), { from: 0.5, to: 0.5, steps: [{ start: 0.5, end: 0.5 }] });
});
