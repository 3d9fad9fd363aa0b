/// Where boxes and lines of a rig's drawing lie, by rules from its graph and the width there is. Nothing here draws.

import type { Domain, Rig, RigComponent, RigEdge } from "./data";
import { gridOf, type Grid } from "./rig_grid";
import { pitch, Router, type Point, type Rectangle, type Side } from "./rig_route";

export interface Box extends Rectangle {
    component: RigComponent;
}
/// A line from one box to another, or a short one from a box to outside air (`to` is then the ambient's name).
export interface Wire {
    from: string;
    to: string;
    domain: Domain; // "signal" for whatever is only read
    outside: boolean;
    labels: string[]; // of the edges that it stands for
    points: Point[];
}
export interface RigLayout {
    width: number;
    height: number;
    boxes: Box[]; // in the order of reading: rows from the top, each from the left
    wires: Wire[];
    unrouted: RigEdge[]; // what found no way
}

const boxHeight = 56;
const watcherHeight = 40;
const smallest = { box: 80, gap: 16 }; // of a column
const sizesTried = [
    { box: 80, gap: 24 }, { box: 96, gap: 24 }, { box: 96, gap: 32 }, { box: 112, gap: 32 }, { box: 112, gap: 48 },
];
const rowGap = { least: 2, tried: [80, 136, 192] }; // lanes; pixels: lines get ample room at first
const margin = 3 * pitch;
const shrink = { columns: 0.92, gaps: 0.96 }; // what does not quite fit is drawn that much smaller
const drawnFirst: Domain[] = ["gas", "coolant", "shaft", "heat", "signal"];
const anySide: Side[] = ["left", "right", "top", "bottom"];

/// Lays a rig out for a width in pixels; the drawing is at most some percent wider, to be scaled down.
export function layOutRig(rig: Rig, width: number): RigLayout {
    const room = width / shrink.columns - 2 * margin;
    const grid = gridOf(rig, Math.max(2, Math.floor((room + smallest.gap) / (smallest.box + smallest.gap))));
    const sizes = columnSizes(grid.columns, width / shrink.gaps - 2 * margin);
    const tries = rowGap.tried.map((between) => () => attempt(rig, grid, sizes, between));
    let layout = tries[0]();
    for (const again of tries.slice(1)) if (layout.unrouted.length > 0) layout = again();
    return withoutEmptyLanes(layout);
}

/// Gaps and boxes grow in turn.
function columnSizes(columns: number, room: number): { box: number; gap: number } {
    let sizes = smallest;
    for (const next of sizesTried) {
        if (columns * next.box + (columns - 1) * next.gap > room) break;
        sizes = next;
    }
    return sizes;
}

/// Moves rows of boxes together where no line runs sideways between them.
function withoutEmptyLanes(layout: RigLayout): RigLayout {
    const count = layout.height / pitch + 1;
    const lane = (y: number) => Math.round(y / pitch);
    const solid = new Uint8Array(count);
    const needed = new Uint8Array(count);
    for (const { y, height } of layout.boxes) solid.fill(1, Math.floor(y / pitch), Math.ceil((y + height) / pitch) + 1);
    for (const { points } of layout.wires) for (const p of points) needed[lane(p.y)] = 1;
    needed[0] = needed[count - 1] = 1;
    const removed: number[] = [];
    for (let start = 0, end = 0; start < count; start = end + 1) {
        for (end = start; end < count && !solid[end]; end++);
        const lanes = Array.from({ length: end - start }, (_, k) => start + k);
        const outer = start === 0 || end === count;
        const spare = Math.max(0, lanes.length - (outer ? 1 : rowGap.least));
        removed.push(...lanes.filter((k) => !needed[k]).slice(0, spare));
    }
    const moved = (y: number) => y - pitch * removed.filter((k) => k * pitch < y).length;
    return {
        ...layout, height: moved(layout.height), boxes: layout.boxes.map((box) => ({ ...box, y: moved(box.y) })),
        wires: layout.wires.map((wire) => ({ ...wire, points: wire.points.map((p) => ({ x: p.x, y: moved(p.y) })) })),
    };
}

function attempt(rig: Rig, grid: Grid, sizes: { box: number; gap: number }, between: number): RigLayout {
    const place = (component: RigComponent): Box => {
        const { row, column } = grid.cells.get(component.name)!;
        const height = component.kind === "watch" ? watcherHeight : boxHeight;
        const bottom = margin + pitch / 2 + row * (boxHeight + between) + boxHeight;
        const x = margin + column * (sizes.box + sizes.gap);
        return { component, x, y: bottom - height, width: sizes.box, height };
    };
    const boxes = rig.components.map(place).sort((a, b) => a.y + a.height - b.y - b.height || a.x - b.x);
    const width = 2 * margin + grid.columns * (sizes.box + sizes.gap) - sizes.gap;
    const height = 2 * margin + grid.rows * (boxHeight + between) - between + pitch;
    const router = new Router(width, height, boxes);
    return { width, height, boxes, ...wiresOf(rig, grid, boxes, router) };
}

/// What is drawn as lines: all that moves, all signals, and what a watcher reads right beside it; where that leaves a
/// watcher without any line, the nearest thing that it reads. Edges that run side by side make one line.
function drawnEdges(rig: Rig, distance: (from: string, to: string) => number): RigEdge[][] {
    const outside = outsideAir(rig);
    const reads = (e: RigEdge) => !e.moves && e.domain !== "signal";
    const drawn = rig.edges.filter((e) => !reads(e));
    for (const { name, kind } of rig.components) {
        if (kind !== "watch") continue;
        const seen = rig.edges.filter((e) => reads(e) && e.to === name && !outside.has(e.from));
        const nearest = seen.sort((a, b) => distance(a.from, name) - distance(b.from, name))[0];
        const linked = drawn.some((e) => e.from === name || e.to === name);
        if (nearest && (!linked || distance(nearest.from, name) === 1)) drawn.push(nearest);
    }
    const lines = new Map<string, RigEdge[]>();
    for (const edge of drawn) {
        const key = `${edge.from}|${edge.to}|${edge.moves ? edge.domain : "read"}`;
        lines.set(key, [...(lines.get(key) ?? []), edge]);
    }
    return [...lines.values()];
}

const outsideAir = (rig: Rig): Set<string> =>
    new Set(rig.components.filter((c) => c.role === "ambient").map((c) => c.name));

function wiresOf(rig: Rig, grid: Grid, boxes: Box[], router: Router): { wires: Wire[]; unrouted: RigEdge[] } {
    const box = new Map(boxes.map((b) => [b.component.name, b]));
    const outside = outsideAir(rig);
    const isOutside = (e: RigEdge) => e.moves && e.domain !== "gas" && (outside.has(e.from) || outside.has(e.to));
    const wires: Wire[] = [];
    const unrouted: RigEdge[] = [];
    const add = (edges: RigEdge[], points: Point[] | null) => {
        const { from, to, domain, moves } = edges[0];
        if (!points) return void unrouted.push(...edges);
        const labels = edges.map((e) => e.label).filter(Boolean);
        wires.push({ from, to, domain: moves ? domain : "signal", outside: isOutside(edges[0]), labels, points });
    };
    const distance = (from: string, to: string) => {
        const [a, b] = [grid.cells.get(from)!, grid.cells.get(to)!];
        return Math.abs(a.row - b.row) + Math.abs(a.column - b.column);
    };
    for (const edges of inOrder(drawnEdges(rig, distance), grid, distance)) {
        const [from, to] = [box.get(edges[0].from)!, box.get(edges[0].to)!];
        if (!isOutside(edges[0])) add(edges, router.connect(from, to, ...sidesFor(edges[0], grid)));
        else if (outside.has(edges[0].to)) add(edges, router.stub(from, ["bottom", "top", "left", "right"]));
        else add(edges, router.stub(to, ["bottom", "top", "left", "right"])?.reverse() ?? null);
    }
    return { wires, unrouted };
}

/// The air path first, then by domain, short lines before long ones; short ends into outside air last of all.
function inOrder(lines: RigEdge[][], grid: Grid, distance: (from: string, to: string) => number): RigEdge[][] {
    const rank = ([edge]: RigEdge[]): number => {
        if (onPath(edge, grid)) return -1;
        return edge.moves ? drawnFirst.indexOf(edge.domain) : drawnFirst.length;
    };
    const length = ([edge]: RigEdge[]): number => distance(edge.from, edge.to);
    return [...lines].sort((a, b) => rank(a) - rank(b) || length(a) - length(b));
}

const onPath = (edge: RigEdge, { path }: Grid): boolean =>
    edge.moves && edge.domain === "gas" && path.includes(edge.from) && path[path.indexOf(edge.from) + 1] === edge.to;

/// Along the air path lines run from left to right; others choose.
function sidesFor(edge: RigEdge, grid: Grid): [Side[], Side[]] {
    return onPath(edge, grid) ? [["right"], ["left"]] : [anySide, anySide];
}
