import assert from "node:assert/strict";
import { test } from "node:test";
import { overlayRuns, residuals } from "../src/matched_curves.ts";

test("A residual is computed less measured, and none where either is missing", () => {
    assert.deepEqual(residuals({ computed: [3, 4, null, 6], measured: [1, 5, 2, null] }), [2, -1, null, null]);
});

test("Each channel of each pull is drawn over its own bins, in the style of its pull", () => {
    const overlay = (channel, speed) => ({ channel, speed, measured: speed.map(() => 1), computed: speed.map(() => 2) });
    const pulls = [["one", [[1, 2], [3, 4, 5]]], ["two", [[6, 7]]]].map(([name, speeds], k) => ({
        pull: { name, title: name, overlays: speeds.map((speed, i) => overlay(["a", "b"][i], speed)) }, style: { index: k },
    }));
    const runs = overlayRuns(pulls);
    assert.deepEqual(runs.map((run) => [run.variant.name, run.variant.speed, run.style.index]),
        [["one", [1, 2], 0], ["one", [3, 4, 5], 0], ["two", [6, 7], 1]]);
    assert.deepEqual(Object.keys(runs[1].variant.curves), ["b", "b measured", "b residual"]);
    assert.deepEqual(runs[1].variant.curves["b residual"], [1, 1, 1]);
});
