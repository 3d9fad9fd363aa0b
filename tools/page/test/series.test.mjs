import assert from "node:assert/strict";
import { test } from "node:test";
import { commonGrid, landmarks, multiples, sweepsSpeed, Track } from "../src/series.ts";

test("Values between points are on the straight line, and points are themselves", () => {
    const track = new Track([0, 1, 3]);
    assert.deepEqual(track.sample([10, 20, 0], [0, 0.5, 1, 2, 3]), [10, 15, 20, 10, 0]);
});

test("There is no value outside a pull or beside a missing one", () => {
    const track = new Track([0, 1, 2, 3]);
    const places = [-1, 0, 0.5, 1, 1.5, 2, 3, 3.1];
    assert.deepEqual(track.sample([1, null, 3, 4], places), [null, 1, null, null, null, 3, 4, null]);
});

test("Where speed runs back only points beyond all earlier ones count", () => {
    const track = new Track([1, 2, 1.5, 2, 4]);
    assert.equal(track.at([10, 20, 99, 99, 40], 3), 30);
    assert.equal(track.length, 3);
});

test("A track of no points has no values", () => {
    assert.deepEqual(new Track([]).sample([], [0, 1]), [null, null]);
});

test("The common grid reaches from the first start to the last end and has all ends", () => {
    const grid = commonGrid([new Track([0, 9.24]), new Track([0.1, 10.4])], 400);
    for (const place of [0, 0.1, 9.24, 10.4]) assert.ok(grid.includes(place));
    assert.equal(grid[0], 0);
    assert.equal(grid.at(-1), 10.4);
    assert.ok(grid.every((place, i) => i === 0 || place > grid[i - 1]));
    assert.deepEqual(commonGrid([], 400), []);
});

test("Table rows start at the first multiple inside and keep an end that rounding moved", () => {
    assert.deepEqual(multiples(250, 2000.0000001, 2600), [2000, 2250, 2500]);
    assert.deepEqual(multiples(0.5, 0.2, 1.5), [0.5, 1, 1.5]);
});

test("Landmarks skip missing values", () => {
    assert.deepEqual(landmarks([null, 3, 7, 1, null]), { first: 1, highest: 2, lowest: 3, last: 3 });
    assert.equal(landmarks([null, null]), null);
});

test("A locked speed is no sweep", () => {
    assert.equal(sweepsSpeed([{ speed: [419, 419.2, 418.9] }]), false);
    assert.equal(sweepsSpeed([{ speed: [209, 400, 670] }]), true);
    assert.equal(sweepsSpeed([{ speed: [] }]), false);
});
