import assert from "node:assert/strict";
import { test } from "node:test";
import { around, gridOf } from "../src/rig_grid.ts";
import { groupsOf } from "../src/rig_groups.ts";
import { layOutRig } from "../src/rig_layout.ts";
import { connections, decimalsFor, itemText, neighbour } from "../src/rig_text.ts";

const part = (name, kind = "link", role = "") => ({ name, model: "", role, summary: "", kind, channels: [] });
const moves = (domain) => (...names) =>
    names.slice(1).map((to, k) => ({ from: names[k], to, domain, moves: true, label: "" }));
const gas = moves("gas");
const coolant = moves("coolant");
const shaft = moves("shaft");
const heat = moves("heat");
const reads = (from, to, domain = "gas", label = "") => ({ from, to, domain, moves: false, label });

// An invented rig with everything that the rules speak of: air path, bypass, coolant loop, shaft run, heat, watchers.
const whole = {
    components: [
        part("air", "storage", "ambient"), part("screen"), part("inlet", "storage"), part("bypass"), part("mover"),
        part("belt"), part("outlet", "storage"), part("core"), part("plenum", "storage"),
        part("engine", "link", "breathing"), part("tank", "storage"), part("pump"), part("hot", "storage"),
        part("cold", "storage"), part("front"),
        part("wheel", "storage"), part("torque"), part("metal", "storage"), part("soak"), part("probe", "watch"),
        part("table", "watch"),
    ],
    edges: [
        ...gas("air", "screen", "inlet", "mover", "outlet", "core", "plenum", "engine"),
        ...gas("outlet", "bypass", "inlet"), ...coolant("tank", "pump", "cold", "core", "hot", "front", "tank"),
        ...shaft("torque", "wheel", "belt", "mover"), ...heat("torque", "metal", "soak", "plenum"),
        ...heat("tank", "air"), ...heat("belt", "air"), reads("plenum", "probe"),
        reads("engine", "probe", "signal", "air"), reads("probe", "table", "signal", "reading"),
        reads("wheel", "table", "shaft", "crank"), reads("table", "torque", "signal", "spark"),
        reads("table", "engine", "signal", "lambda"), reads("air", "engine"),
    ],
    channels: [],
};
// Other shapes: no gas at all, a single part, parallel paths, two loops, more watchers than columns, a long path.
const [air, engine] = [part("air", "storage", "ambient"), part("engine", "link", "breathing")];
const many = (count, kind) => Array.from({ length: count }, (_, k) => part(`${kind}${k}`, kind));
const others = {
    "without gas": {
        components: many(6, "storage"), edges: coolant("storage0", "storage1", "storage2", "storage0"), channels: [],
    },
    "a single part": { components: [part("alone")], edges: [], channels: [] },
    "nothing": { components: [], edges: [], channels: [] },
    "parallel paths": {
        components: [air, part("left"), part("right"), part("box", "storage"), engine],
        edges: [...gas("air", "left", "box", "engine"), ...gas("air", "right", "box")], channels: [],
    },
    "two loops": {
        components: [air, ...many(8, "link"), engine, ...many(10, "storage")],
        edges: [
            ...gas("air", ...many(8, "link").map((c) => c.name), "engine"),
            ...coolant("link2", "storage0", "storage1", "storage2", "storage3", "link2"),
            ...coolant("link6", "storage4", "storage5", "storage6", "storage7", "storage8", "link6"),
        ],
        channels: [],
    },
    "many watchers": {
        components: [air, engine, ...many(9, "watch")],
        edges: [...gas("air", "engine"), ...many(9, "watch").map((c) => reads("engine", c.name))], channels: [],
    },
    "a long path": {
        components: [air, ...many(30, "link"), engine],
        edges: gas("air", ...many(30, "link").map((c) => c.name), "engine"), channels: [],
    },
};
const rigs = { "the whole rig": whole, ...others };
const widths = [1152, 1000, 691, 480, 328, 200];

test("The air path is the longest way to the engine, and what hangs beside it is sorted by what flows", () => {
    const groups = groupsOf(whole);
    assert.deepEqual(groups.path, ["air", "screen", "inlet", "mover", "outlet", "core", "plenum", "engine"]);
    assert.deepEqual(groups.branches, [{ members: ["bypass"], touches: ["inlet", "outlet"] }]);
    assert.deepEqual(groups.loops, [{ members: ["hot", "front", "tank", "pump", "cold"], touches: ["core"] }]);
    assert.deepEqual(groups.shafts, [{ members: ["torque", "wheel", "belt"], touches: ["mover"] }]);
    assert.deepEqual(groups.others, ["metal", "soak"]);
    assert.deepEqual(groups.watchers, ["probe", "table"]);
});

test("A bypass beside the cooler does not become the air path", () => {
    const elsewhere = whole.edges.filter((e) => e.from !== "bypass" && e.to !== "bypass");
    const { path } = groupsOf({ ...whole, edges: [...gas("outlet", "bypass", "plenum"), ...elsewhere] });
    assert.ok(path.includes("core") && !path.includes("bypass"));
});

test("The air path reads from left to right and wraps into rows", () => {
    for (const columns of [8, 5, 3, 2]) {
        const { cells, path, columns: used } = gridOf(whole, columns);
        assert.ok(used <= columns);
        path.slice(1).forEach((name, k) => {
            const [a, b] = [cells.get(path[k]), cells.get(name)];
            const follows = b.row === a.row ? b.column === a.column + 1 : b.row > a.row && b.column === 0;
            assert.ok(follows, `${path[k]} to ${name}`);
        });
    }
});

test("A loop goes around a rectangle that opens below what it cools", () => {
    const text = (cells) => cells.map((c) => `${c.row}${c.column}`).join(" ");
    assert.equal(text(around(9, 5, 2)), "03 04 14 13 12 11 10 00 01");
    assert.equal(text(around(8, 3, 0)), "01 02 12 22 32 30 20 10");
    const { cells } = gridOf(whole, 8);
    const core = cells.get("core");
    const below = [...cells].filter(([, c]) => c.column === core.column && c.row === core.row + 1);
    assert.deepEqual(below, [], "the cell below the core stays open for both pipes");
    assert.equal(cells.get("hot").column, core.column + 1);
    assert.equal(cells.get("cold").column, core.column - 1);
});

test("Around a rectangle no cell is taken twice and neighbours touch, whatever the count and width", () => {
    for (let count = 1; count <= 14; count++)
        for (let width = 2; width <= 6; width++)
            for (const gap of [null, 0, width - 1]) {
                const cells = around(count, width, gap);
                assert.equal(cells.length, count);
                assert.equal(new Set(cells.map((c) => `${c.row} ${c.column}`)).size, count);
                assert.ok(cells.every((c) => c.column >= 0 && c.column < width && !(c.row === 0 && c.column === gap)));
            }
});

const inside = (box, p) => p.x > box.x && p.x < box.x + box.width && p.y > box.y && p.y < box.y + box.height;
const stretches = (wire) => wire.points.slice(1).map((to, k) => [wire.points[k], to]);
const onEdge = (box, p) =>
    p.x >= box.x && p.x <= box.x + box.width && p.y >= box.y && p.y <= box.y + box.height && !inside(box, p);
const apart = (a, b) =>
    a.x + a.width + 8 <= b.x || b.x + b.width + 8 <= a.x || a.y + a.height + 8 <= b.y || b.y + b.height + 8 <= a.y;
/// Points along a line, four pixels apart.
const pointsOf = ([a, b]) => {
    const steps = Math.max(Math.abs(a.x - b.x), Math.abs(a.y - b.y)) / 4;
    const between = (from, to, k) => from + ((to - from) * (k + 0.5)) / steps;
    return Array.from({ length: steps }, (_, k) => ({ x: between(a.x, b.x, k), y: between(a.y, b.y, k) }));
};

for (const [name, rig] of Object.entries(rigs)) for (const width of widths) {
    test(`Boxes and lines keep clear of each other: ${name}, ${width} px`, () => {
        const layout = layOutRig(rig, width);
        assert.equal(layout.boxes.length, rig.components.length);
        // In very little room a reading may stay undrawn; it is told in words all the same.
        assert.deepEqual(layout.unrouted.filter((e) => width >= 328 || e.moves), []);
        if (width >= 328) assert.ok(layout.width * 0.9 <= width, "little has to be scaled down");
        for (const [k, a] of layout.boxes.entries()) {
            assert.ok(a.x >= 0 && a.y >= 0 && a.x + a.width <= layout.width && a.y + a.height <= layout.height);
            for (const b of layout.boxes.slice(k + 1)) assert.ok(apart(a, b));
        }
        const taken = new Map();
        for (const wire of layout.wires) {
            const box = (n) => layout.boxes.find((b) => b.component.name === n);
            if (!wire.outside) assert.ok(onEdge(box(wire.to), wire.points.at(-1)), `${wire.from} ends at ${wire.to}`);
            assert.ok(onEdge(box(wire.from), wire.points[0]), `${wire.to} starts at ${wire.from}`);
            for (const [a, b] of stretches(wire)) {
                assert.ok(a.x === b.x || a.y === b.y, "upright or level");
                const line = `${wire.from} to ${wire.to}`;
                for (const at of pointsOf([a, b])) {
                    assert.ok(inside({ x: 0, y: 0, ...layout }, at), "inside the picture");
                    for (const other of layout.boxes)
                        assert.ok(!inside(other, at), `${line} crosses ${other.component.name}`);
                    const key = `${at.x} ${at.y}`;
                    assert.ok(!taken.has(key), `${line} runs on ${taken.get(key)}`);
                    taken.set(key, line);
                }
            }
        }
    });
}

test("All that moves and all signals are drawn, side by side as one line; a watcher has one to where it stands", () => {
    const { wires } = layOutRig(whole, 1152);
    const text = wires.map((w) => `${w.from}>${w.to} ${w.domain}${w.outside ? " outside" : ""}`);
    for (const { from, to, domain, moves } of whole.edges)
        if (moves || domain === "signal")
            assert.ok(text.some((t) => t.startsWith(`${from}>${to} ${domain}`)), `${from}>${to}`);
    assert.ok(text.includes("plenum>probe signal"));
    assert.ok(text.includes("tank>air heat outside"));
    assert.ok(!text.some((t) => t.startsWith("air>engine") || t.startsWith("wheel>table")));
    const more = { ...whole, edges: [...whole.edges, reads("table", "torque", "signal", "lambda")] };
    const both = layOutRig(more, 1152).wires;
    assert.deepEqual(both.find((w) => w.from === "table" && w.to === "torque").labels, ["spark", "lambda"]);
});

test("Arrow keys go along rows, and up and down to the nearest box", () => {
    const { boxes } = layOutRig(whole, 1152);
    assert.equal(neighbour(boxes, "screen", "ArrowRight"), "inlet");
    assert.equal(neighbour(boxes, "screen", "ArrowLeft"), "air");
    assert.equal(neighbour(boxes, "mover", "ArrowDown"), "belt");
    assert.equal(neighbour(boxes, "belt", "ArrowUp"), "mover");
    assert.equal(neighbour(boxes, "screen", "Tab"), null);
    assert.equal(neighbour(boxes, neighbour(boxes, "belt", "End"), "ArrowRight"), neighbour(boxes, "belt", "Home"));
});

test("A part tells what it is connected to", () => {
    assert.deepEqual(connections(whole, "table"),
        [["reads", ["reading of probe", "wheel"]], ["is read by", ["torque", "engine"]]]);
    assert.deepEqual(connections(whole, "soak"), [["heat from", ["metal"]], ["heat to", ["plenum"]]]);
});

test("Quantities are named in words, and digits follow the largest value of the pull", () => {
    assert.equal(itemText("lid", "lid.gas.T"), "gas temperature");
    assert.equal(itemText("blower", "blower.shaft.omega"), "shaft speed");
    assert.equal(itemText("filter", "filter.pressure_drop"), "pressure drop");
    const sizes = [11439, 1000, 325.7, 10, 9.99, 1.89, 0.189, 0.0062, 0];
    assert.deepEqual(sizes.map((x) => decimalsFor([x])), [0, 0, 1, 1, 2, 2, 3, 5, 0]);
    assert.equal(decimalsFor([0.5, 120]), 1);
});
