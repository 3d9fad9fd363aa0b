import assert from "node:assert/strict";
import { test } from "node:test";
import { placeLabels, scaleOver, tickStep } from "../src/choice_scale.ts";
import { wrapped } from "../src/choice_tradeoffs.ts";

const near = (a, b) => assert.ok(Math.abs(a - b) < 1e-9, `${a} is not ${b}`);

test("steps of ticks are 1, 2 or 5 by a power of ten, and divide the reach into no more than asked for", () => {
    for (const reach of [0.03, 1, 7.3, 99, 1500, 2e5])
        for (const about of [3, 7, 12]) {
            const step = tickStep(reach, about);
            const digit = Number(step.toExponential(6).split("e")[0]);
            assert.ok([1, 2, 5].includes(digit), `${step}`);
            assert.ok(reach / step <= about * 1.0001 && reach / step >= about / 2.51, `${reach} by ${about}: ${step}`);
        }
});

test("a scale is linear, holds all values with room at both ends, and its ticks are told with enough decimals", () => {
    const scale = scaleOver([2.5, 0.1, 1.7], [50, 850], 6);
    assert.ok(scale.place(0.1) > 50 && scale.place(2.5) < 850);
    near(scale.place(1.3) - scale.place(0.1), scale.place(2.5) - scale.place(1.3));
    assert.ok(scale.ticks.length >= 3 && scale.ticks.every((tick) => Math.abs(Number(tick.toFixed(scale.decimals)) - tick) < 1e-9));
    const down = scaleOver([0, 10], [400, 0], 5);
    assert.ok(down.place(0) > down.place(10));
});

test("a scale over one value, or none, still has places", () => {
    for (const values of [[7, 7], [0], []]) {
        const scale = scaleOver(values, [0, 100], 5);
        assert.ok(scale.to > scale.from && scale.ticks.length > 0);
        if (values.length > 0) near(scale.place(values[0]), 50);
    }
});

test("labels of points that lie close together cover neither each other nor a point", () => {
    const points = [[100, 100], [108, 101], [104, 108], [112, 109], [100, 116]].map(([x, y]) => ({ x, y, width: 14 }));
    const others = [{ x: 90, y: 92 }];
    const labels = placeLabels(points, 16, { x: 0, y: 0, width: 300, height: 200 }, others);
    const apart = (a, b) => a.x + a.width <= b.x || b.x + b.width <= a.x || a.y + a.height <= b.y || b.y + b.height <= a.y;
    labels.forEach((a, k) => {
        for (const b of labels.slice(k + 1)) assert.ok(apart(a, b));
        for (const { x, y } of [...points, ...others]) assert.ok(apart(a, { x: x - 2, y: y - 2, width: 4, height: 4 }));
    });
});

test("a label stands to the right of its point, and elsewhere where another point is there", () => {
    const frame = { x: 0, y: 0, width: 300, height: 200 }, point = { x: 100, y: 100, width: 14 };
    assert.ok(placeLabels([point], 16, frame)[0].x > 100);
    const [label] = placeLabels([point], 16, frame, [{ x: 114, y: 100 }]);
    assert.ok(label.x + label.width <= 109 || label.x >= 119 || label.y + label.height <= 95 || label.y >= 105);
});

test("a label stays within the frame", () => {
    const [label] = placeLabels([{ x: 296, y: 4, width: 30 }], 16, { x: 0, y: 0, width: 300, height: 200 });
    assert.ok(label.x + label.width <= 300 && label.y >= 0);
});

test("words are wrapped into lines, and no word is lost", () => {
    assert.deepEqual(wrapped("intake temperature at the end, °C", 18), ["intake temperature", "at the end, °C"]);
    assert.deepEqual(wrapped("one", 2), ["one"]);
});
