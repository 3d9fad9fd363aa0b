import assert from "node:assert/strict";
import { test } from "node:test";
import { bandsOf, columnsOf, layOut } from "../src/sankey.ts";

const place = (key, role = "through") => ({ key, label: key, role });
const flow = (from, to) => ({ key: `${from}>${to}`, from, to, doc: "", derived: false });
const picture = {
    places: [place("work", "source"), place("air"), place("pump", "source"), place("core"), place("walls", "end"),
        place("engine", "end"), place("loop", "end"), place("outside", "end")],
    flows: [flow("work", "air"), flow("air", "walls"), flow("air", "core"), flow("air", "engine"), flow("pump", "core"),
        flow("core", "loop"), flow("core", "outside")],
};
const largest = new Map([["work>air", 100], ["air>walls", 10], ["air>core", 50], ["air>engine", 40], ["pump>core", 5],
    ["core>loop", 30], ["core>outside", 25]]);
const options = { height: 200, gap: 10, label: () => 30 };

test("Columns follow the longest way; sources stand before what they feed and ends stand last", () => {
    const columns = Object.fromEntries(columnsOf(picture));
    assert.deepEqual(columns, { work: 0, air: 1, pump: 1, core: 2, walls: 3, engine: 3, loop: 3, outside: 3 });
});

test("A loop of flows does not hang the layout", () => {
    const looped = { places: picture.places, flows: [...picture.flows, flow("core", "air")] };
    const columns = columnsOf(looped);
    assert.equal(columns.get("core"), 2);
    assert.ok(layOut(looped, largest, options).height > 0);
});

test("Labels and slots of a column never overlap and stay inside the picture", () => {
    const layout = layOut(picture, largest, options);
    for (let column = 0; column < layout.columns; column++) {
        const items = layout.items.filter((item) => item.column === column).sort((a, b) => a.y - b.y);
        items.forEach((item, k) => {
            assert.ok(item.y - item.above >= -1e-9);
            assert.ok(item.y + item.size + item.below <= layout.height + 1e-9);
            const next = items[k + 1];
            const foot = item.y + item.size + item.below + options.gap;
            if (next) assert.ok(next.y - next.above >= foot - 1e-9, `${item.key}, ${next.key}`);
        });
    }
});

test("The fullest column takes the height that is given, and sizes are proportional to energy", () => {
    const layout = layOut(picture, largest, options);
    const sums = [0, 0, 0, 0];
    for (const item of layout.items) sums[item.column] += item.size;
    assert.ok(Math.abs(Math.max(...sums) - 200) < 1e-9);
    assert.ok(Math.abs(layout.place.get("engine").size / layout.place.get("work").size - 0.4) < 1e-12);
});

test("A long flow passes the columns between through points of its own", () => {
    const path = layOut(picture, largest, options).path.get("air>engine");
    assert.deepEqual(path.map((item) => item.column), [1, 2, 3]);
    assert.equal(path[1].passing.key, "air>engine");
});

test("Bands of a place lie side by side without gaps, in the order of where they go", () => {
    const layout = layOut(picture, largest, options);
    const size = (f) => largest.get(f.key) * layout.pixelsPerJoule;
    const bands = bandsOf(layout, size);
    const air = layout.place.get("air");
    let top = air.y;
    for (const f of air.right) {
        assert.ok(Math.abs(bands.get(f.key)[0].start - top) < 1e-9);
        top += size(f);
    }
    const ends = air.right.map((f) => layout.path.get(f.key)[1].y);
    assert.deepEqual(ends, ends.slice().sort((a, b) => a - b));
});

test("A picture without energy has a layout of height but no slots", () => {
    const layout = layOut(picture, new Map(), options);
    assert.ok(layout.height > 0);
    assert.ok(layout.items.every((item) => item.size === 0));
});
