import assert from "node:assert/strict";
import { test } from "node:test";
import { handleColumns, Sketch, verdict } from "../src/live/sketch.ts";

// Made-up lines whose differences can be told by hand: 11 points, speed 200..300 rad/s, not even in time.
const time = [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10];
const speed = time.map((t) => 200 + t * t);
const line = (value) => ({ time, speed, values: time.map(value) });
const ghost = line((t) => 10 * t);

test("A stroke fills every column between two points with a straight line, over time and over speed", () => {
    const sketch = new Sketch(ghost);
    sketch.stroke("time", [2, 20], [6, 60]);
    assert.deepEqual(sketch.values, [null, null, 20, 30, 40, 50, 60, null, null, null, null]);
    const other = new Sketch(ghost);
    other.stroke("speed", [236, 36], [204, 4]); // drawn backwards: value = speed - 200
    assert.deepEqual(other.values, [null, null, 4, 9, 16, 25, 36, null, null, null, null]);
});

test("A later stroke overwrites an earlier one, and only where it runs", () => {
    const sketch = new Sketch(ghost);
    sketch.stroke("time", [0, 0], [10, 0]);
    sketch.stroke("time", [4, 5], [6, 5]);
    assert.deepEqual(sketch.values, [0, 0, 0, 0, 5, 5, 5, 0, 0, 0, 0]);
});

test("A touch without a stroke sets the one column under it", () => {
    const sketch = new Sketch(ghost);
    sketch.stroke("time", [3.2, 7], [3.2, 7]);
    assert.deepEqual(sketch.values.filter((value) => value !== null), [7]);
    assert.equal(sketch.values[3], 7);
});

test("A sketch drawn over speed lies over time where the line beside it was at that moment", () => {
    const sketch = new Sketch(ghost);
    sketch.stroke("speed", [249, 1], [249, 1]); // the line passed 249 rad/s at 7 s
    assert.equal(sketch.values[sketch.column("time", 7)], 1);
});

test("A handle pulls the sketch straight to its neighbours, which start on the line beside", () => {
    const sketch = new Sketch(ghost);
    const handles = handleColumns(sketch, "time", 6);
    assert.deepEqual(handles, [0, 2, 4, 6, 8, 10]);
    sketch.move("time", handles, 2, 100);
    assert.deepEqual(sketch.values, [null, null, 20, 60, 100, 80, 60, null, null, null, null]);
    sketch.move("time", handles, 0, 40);
    assert.deepEqual(sketch.values.slice(0, 3), [40, 30, 20]);
});

test("A sketch that is the engine's curve is off by nothing", () => {
    const sketch = new Sketch(ghost);
    sketch.stroke("time", [0, 5], [10, 105]);
    const score = sketch.score(line((t) => 10 * t + 5), "time", 1);
    assert.ok(Math.abs(score.mean) < 1e-12 && Math.abs(score.end) < 1e-12);
    assert.deepEqual([score.sketched, score.simulated, score.covered, score.place], ["up", "up", 1, 10]);
});

test("The score is the mean distance, the signed one at the end, and both directions", () => {
    const sketch = new Sketch(ghost);
    sketch.stroke("time", [4, 43], [8, 83]); // 3 above the ghost
    const score = sketch.score(line((t) => 10 * t - 2), "time", 1);
    assert.ok(Math.abs(score.mean - 5) < 1e-12 && Math.abs(score.end - 5) < 1e-12);
    assert.deepEqual([score.sketched, score.simulated, score.place], ["up", "down", 8]);
    assert.equal(score.covered, 5 / 11);
});

test("Errors of both signs do not cancel", () => {
    const sketch = new Sketch(ghost);
    sketch.stroke("time", [0, 0], [10, 0]);
    assert.equal(sketch.score(line((t) => t - 5), "time", 1).mean, 30 / 11); // 5 4 3 2 1 0 1 2 3 4 5
});

test("A change smaller than what counts is none", () => {
    const sketch = new Sketch(ghost);
    sketch.stroke("time", [0, 0.5], [10, 100.5]);
    const score = sketch.score(ghost, "time", 1);
    assert.deepEqual([score.sketched, score.simulated], ["same", "same"]);
});

test("Over speed the curves are compared at the same speed although the pulls take other times", () => {
    const sketch = new Sketch(ghost);
    sketch.stroke("speed", [200, 0], [300, 0]);
    const quicker = { time: time.map((t) => t / 2), speed, values: time.map(() => 0) };
    assert.equal(sketch.score(quicker, "speed", 1).mean, 0);
    assert.equal(sketch.score(quicker, "time", 1).covered, 6 / 11); // it ends at 5 s
});

test("Where sketch and curve share no place there is no score", () => {
    const sketch = new Sketch(ghost);
    assert.equal(sketch.score(ghost, "time", 1), null);
    sketch.stroke("time", [9, 1], [10, 1]);
    assert.equal(sketch.score({ time: [0, 1], speed: [200, 201], values: [0, 0] }, "time", 1), null);
});

test("The verdict names size, side and direction", () => {
    const size = (si) => `${si.toFixed(1)} K`, place = (x) => `${x} rpm`;
    const score = { mean: 4.2, end: -3.1, place: 6400, sketched: "up", simulated: "up", covered: 1 };
    assert.equal(verdict(score, size, place),
        "Your sketch is off by 4.2 K on average, and 3.1 K too low at its end (6400 rpm). " +
        "Direction right: on the whole you drew it higher, and so it is.");
    assert.match(verdict({ ...score, end: 0.01, simulated: "down", covered: 0.5 }, size, place),
        /over what you drew, and spot on at its end .* on the whole you drew it higher, the engine says lower\.$/);
});
