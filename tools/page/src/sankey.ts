/// Where places and flows of the heat picture lie. Nothing here draws.
///
/// Slots are laid out for the largest energy that each flow ever carries, so that nothing moves while the instant does:
/// bands only swell within their slots.

import type { HeatFlow, HeatPicture } from "./data";

/// A place, or a point where a flow passes a column on its way (`flow` alone then).
export interface Item {
    key: string;
    column: number;
    y: number; // top of the slot, below the label
    size: number; // the slot's height
    above: number; // height kept free for the label; in the first column it stands below
    below: number;
    left: HeatFlow[]; // in the order of attachment, top first
    right: HeatFlow[];
    passing: HeatFlow | null;
}

/// Everything that stays while the instant changes.
export interface Layout {
    items: Item[]; // places and passing points
    place: Map<string, Item>;
    columns: number;
    path: Map<string, Item[]>; // by flow: from its start over passing points to its end
    pixelsPerJoule: number;
    height: number;
}

export interface LayoutOptions {
    height: number; // for the fullest column's bands
    label: (place: string, columns: number) => number; // height that a place's label needs
    gap: number; // between a slot and the next label
}

/// Columns by the longest way from a source; sources stand right before what they feed, ends all in the last column.
export function columnsOf(picture: HeatPicture): Map<string, number> {
    const forward = withoutLoops(picture);
    const column = new Map(picture.places.map((place) => [place.key, 0]));
    for (const _ of picture.places)
        for (const flow of forward) column.set(flow.to, Math.max(column.get(flow.to)!, column.get(flow.from)! + 1));
    const last = Math.max(...column.values());
    for (const place of picture.places) {
        const fed = forward.filter((flow) => flow.from === place.key).map((flow) => column.get(flow.to)!);
        if (place.role === "end" && fed.length === 0) column.set(place.key, last);
        if (place.role === "source" && fed.length > 0 && !forward.some((flow) => flow.to === place.key))
            column.set(place.key, Math.min(...fed) - 1);
    }
    return column;
}

/// The flows that do not close a loop, found depth first.
function withoutLoops(picture: HeatPicture): HeatFlow[] {
    const state = new Map<string, "open" | "done">();
    const kept: HeatFlow[] = [];
    const visit = (key: string): void => {
        state.set(key, "open");
        for (const flow of picture.flows.filter((f) => f.from === key)) {
            if (state.get(flow.to) === "open") continue;
            kept.push(flow);
            if (!state.has(flow.to)) visit(flow.to);
        }
        state.set(key, "done");
    };
    for (const place of picture.places) if (!state.has(place.key)) visit(place.key);
    return kept;
}

/// Lays the picture out for the largest size of each flow, J.
export function layOut(picture: HeatPicture, largest: ReadonlyMap<string, number>, options: LayoutOptions): Layout {
    const column = columnsOf(picture);
    const columns = Math.max(...column.values()) + 1;
    const size = (flows: HeatFlow[]) => flows.reduce((sum, flow) => sum + (largest.get(flow.key) ?? 0), 0);
    const place = new Map<string, Item>();
    for (const { key } of picture.places) {
        const left = picture.flows.filter((flow) => flow.to === key);
        const right = picture.flows.filter((flow) => flow.from === key);
        if (left.length + right.length === 0) continue;
        const label = options.label(key, columns);
        const [above, below] = column.get(key) === 0 ? [0, label] : [label, 0];
        const most = Math.max(size(left), size(right));
        place.set(key, { key, column: column.get(key)!, y: 0, size: most, above, below, left, right, passing: null });
    }
    const path = new Map(picture.flows.map((flow) => [flow.key, pathOf(flow, place, largest.get(flow.key) ?? 0)]));
    const items = [...new Set([...place.values(), ...[...path.values()].flat()])];
    const byColumn = Array.from({ length: columns }, (_, c) => items.filter((item) => item.column === c));
    const fullest = Math.max(...byColumn.map((list) => list.reduce((sum, item) => sum + item.size, 0)));
    const pixelsPerJoule = fullest > 0 ? options.height / fullest : 0;
    for (const item of items) item.size *= pixelsPerJoule;
    arrange(byColumn, path, options.gap);
    sortAttachments(place, path);
    const height = Math.max(...items.map(foot));
    return { items, place, columns, path, pixelsPerJoule, height };
}

function pathOf(flow: HeatFlow, place: ReadonlyMap<string, Item>, size: number): Item[] {
    const [from, to] = [place.get(flow.from)!, place.get(flow.to)!];
    const passing: Item[] = [];
    for (let c = from.column + 1; c < to.column; c++) {
        const item = { key: `${flow.key}@${c}`, column: c, y: 0, size, above: 0, below: 0, passing: flow };
        passing.push({ ...item, left: [flow], right: [flow] });
    }
    return [from, ...passing, to];
}

/// Orders each column by where its neighbours lie and stacks it near them, sweeping to and fro.
function arrange(byColumn: Item[][], path: ReadonlyMap<string, Item[]>, gap: number): void {
    const neighbours = neighboursOf(path);
    const centre = (item: Item) => item.y + item.size / 2;
    for (const list of byColumn) stack(list, gap);
    const tallest = Math.max(...byColumn.map((list) => bottom(list)));
    const columns = [...byColumn.keys()];
    for (let pass = 0; pass < 6; pass++) {
        for (const c of pass % 2 === 0 ? columns : columns.slice().reverse()) {
            const side = pass % 2 === 0 ? -1 : 1;
            const wanted = new Map(byColumn[c].map((item) => {
                const near = (neighbours.get(item) ?? []).filter((other) => Math.sign(other.column - c) === side);
                const weight = near.reduce((sum, other) => sum + other.size, 0);
                const mean = near.reduce((sum, other) => sum + centre(other) * other.size, 0) / weight;
                return [item, weight > 0 ? mean : centre(item)];
            }));
            byColumn[c].sort((a, b) => wanted.get(a)! - wanted.get(b)!);
            for (const item of byColumn[c]) item.y = wanted.get(item)! - item.size / 2;
            settle(byColumn[c], gap, tallest);
        }
    }
}

function neighboursOf(path: ReadonlyMap<string, Item[]>): Map<Item, Item[]> {
    const out = new Map<Item, Item[]>();
    const add = (item: Item, other: Item) => out.set(item, [...(out.get(item) ?? []), other]);
    for (const items of path.values()) {
        for (let k = 1; k < items.length; k++) {
            add(items[k - 1], items[k]);
            add(items[k], items[k - 1]);
        }
    }
    return out;
}

function stack(list: Item[], gap: number): void {
    let y = 0;
    for (const item of list) {
        item.y = y + item.above;
        y = item.y + item.size + item.below + gap;
    }
}

const foot = (item: Item): number => item.y + item.size + item.below;
const bottom = (list: Item[]): number => (list.length > 0 ? foot(list[list.length - 1]) : 0);

/// Keeps items apart and inside, moving each as little as that takes.
function settle(list: Item[], gap: number, height: number): void {
    let floor = 0;
    for (const item of list) {
        item.y = Math.max(item.y, floor + item.above);
        floor = foot(item) + gap;
    }
    let ceiling = height;
    for (const item of list.slice().reverse()) {
        item.y = Math.min(item.y, ceiling - item.size - item.below);
        ceiling = item.y - item.above - gap;
    }
}

function sortAttachments(place: ReadonlyMap<string, Item>, path: ReadonlyMap<string, Item[]>): void {
    const before = (flow: HeatFlow) => path.get(flow.key)!.at(-2)!.y;
    const after = (flow: HeatFlow) => path.get(flow.key)![1].y;
    for (const item of place.values()) {
        item.left = item.left.slice().sort((a, b) => before(a) - before(b));
        item.right = item.right.slice().sort((a, b) => after(a) - after(b));
    }
}

/// The stretch of a band between two columns: tops of its two ends.
export interface Stretch {
    from: Item;
    to: Item;
    start: number;
    end: number;
}

/// Bands of one instant, given the size of each flow in pixels: stacked from the top of each slot.
export function bandsOf(layout: Layout, size: (flow: HeatFlow) => number): Map<string, Stretch[]> {
    const top = (item: Item, flow: HeatFlow, side: "left" | "right") => {
        if (item.passing) return item.y;
        const before = item[side].slice(0, item[side].indexOf(flow));
        return item.y + before.reduce((sum, other) => sum + size(other), 0);
    };
    const out = new Map<string, Stretch[]>();
    for (const [key, items] of layout.path) {
        const flow = items[0].right.find((f) => f.key === key)!;
        out.set(key, items.slice(1).map((to, k) => {
            const from = items[k];
            return { from, to, start: top(from, flow, "right"), end: top(to, flow, "left") };
        }));
    }
    return out;
}
