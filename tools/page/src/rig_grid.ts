/// Which cell of a grid each component of a rig stands in. Rows come in storeys: a stretch of the air path with what
/// branches off and looks at it above, and loops, shafts and heat below. Nothing here draws.

import type { Rig } from "./data";
import { groupsOf, type Group, type Groups } from "./rig_groups";

export interface Cell {
    row: number;
    column: number;
}
type Row = (string | null)[]; // null: free; "": kept free
interface Storey {
    above: Row[];
    path: Row;
    below: Row[];
}
interface Shape {
    width: number;
    cells: Cell[];
}
export interface Grid {
    columns: number;
    rows: number;
    cells: Map<string, Cell>;
    path: string[];
}

/// Places every component in a cell of its own, in at most `most` columns.
export function gridOf(rig: Rig, most: number): Grid {
    return new Builder(rig, groupsOf(rig), most).grid();
}

class Builder {
    private readonly columns: number;
    private readonly storeys: Storey[];

    constructor(private readonly rig: Rig, private readonly groups: Groups, most: number) {
        const { path, loops, shafts } = groups;
        const stretches = Math.max(1, Math.ceil(path.length / most));
        const stretch = Math.ceil(path.length / stretches);
        const widths = [...loops.map((g) => loopWidth(g.members.length)), ...shafts.map((g) => g.members.length)];
        const widest = Math.max(stretch, ...widths);
        this.columns = Math.max(1, Math.min(most, widest));
        this.storeys = Array.from({ length: stretches }, (_, k) => {
            const row = this.empty();
            path.slice(k * stretch, (k + 1) * stretch).forEach((name, column) => (row[column] = name));
            return { above: [], path: row, below: [] };
        });
    }

    grid(): Grid {
        const { branches, loops, shafts, others, watchers, path } = this.groups;
        branches.forEach((group) => this.branch(group));
        shafts.forEach((group) => this.shaft(group));
        loops.forEach((group) => this.loop(group));
        others.forEach((name) => this.beside(name));
        watchers.forEach((name) => this.watcher(name));
        return { columns: this.columns, rows: this.rows().length, cells: this.cells(), path };
    }

    private empty = (): Row => Array<string | null>(this.columns).fill(null);
    private rows = (): Row[] => this.storeys.flatMap((s) => [...s.above, s.path, ...s.below]);

    private cells(): Map<string, Cell> {
        const cells = new Map<string, Cell>();
        this.rows().forEach((names, row) => names.forEach((name, column) => name && cells.set(name, { row, column })));
        return cells;
    }

    private storeyOf = (name: string): Storey | undefined => this.storeys.find((s) => s.path.includes(name));

    /// Above the middle of what it bridges; against the path where it flows back.
    private branch({ members, touches }: Group): void {
        const storey = this.storeyOf(touches[0]) ?? this.storeys[0];
        const ends = touches.filter((name) => storey.path.includes(name)).map((name) => storey.path.indexOf(name));
        const there = touches.length === ends.length ? ends[ends.length - 1] : this.columns - 1;
        const middle = ((ends[0] ?? 0) + (there ?? 0)) / 2;
        const ordered = this.flowsBack(members) ? [...members].reverse() : members;
        ordered.forEach((name, k) => this.put(storey, Math.round(middle + k - (members.length - 1) / 2), name));
    }

    private flowsBack(members: string[]): boolean {
        const { path } = this.groups;
        const gas = this.rig.edges.filter((e) => e.moves && e.domain === "gas");
        const from = gas.find((e) => e.to === members[0] && path.includes(e.from));
        const to = gas.find((e) => e.from === members[members.length - 1] && path.includes(e.to));
        return !!from && !!to && path.indexOf(from.from) > path.indexOf(to.to);
    }

    /// Above the part of the path that it looks at first.
    private watcher(name: string): void {
        const reads = this.rig.edges.filter((e) => !e.moves && e.to === name).map((e) => e.from);
        const seen = reads.find((n) => this.storeyOf(n) && n !== this.groups.path[0]);
        const storey = (seen && this.storeyOf(seen)) || this.storeys[this.storeys.length - 1];
        this.put(storey, seen ? storey.path.indexOf(seen) : this.columns - 1, name);
    }

    /// In the free cell above a stretch that is nearest to a column.
    private put(storey: Storey, column: number, name: string): void {
        for (const row of [...storey.above].reverse()) {
            const at = nearestFree(row, column);
            if (at !== null) return void (row[at] = name);
        }
        storey.above.unshift(this.empty());
        this.put(storey, column, name);
    }

    /// In a row that ends below what is driven; on several rows where it is too long for one.
    private shaft({ members, touches }: Group): void {
        const storey = this.storeyOf(touches[0]) ?? this.storeys[this.storeys.length - 1];
        const end = touches.length > 0 ? storey.path.indexOf(touches[0]) : members.length - 1;
        const width = Math.min(members.length, this.columns);
        const left = Math.max(0, end - width + 1);
        this.fit(storey, left, (at) => ({
            width, cells: members.map((_, k) => {
                const back = members.length - 1 - k;
                return { row: Math.floor(back / width), column: at + width - 1 - (back % width) };
            }),
        }), members);
    }

    /// Around a rectangle that opens below the first component of the path that it meets.
    private loop({ members, touches }: Group): void {
        const storey = this.storeyOf(touches[0]) ?? this.storeys[this.storeys.length - 1];
        const meets = touches.length > 0 ? storey.path.indexOf(touches[0]) : null;
        const width = Math.min(this.columns, loopWidth(members.length));
        const left = (meets ?? 0) - Math.floor((width - 1) / 2);
        this.fit(storey, Math.min(Math.max(0, left), this.columns - width), (at) => {
            const gap = meets === null ? null : Math.min(Math.max(meets - at, 0), width - 1);
            const cells = around(members.length, width, gap);
            return { width, cells: cells.map((c) => ({ row: c.row, column: c.column + at })) };
        }, members);
        this.keepFree(storey, members);
    }

    /// Nothing else comes into the rectangle that a loop encloses.
    private keepFree({ below }: Storey, members: string[]): void {
        const rows = below.filter((row) => row.some((name) => name && members.includes(name)));
        const columns = rows.flatMap((row) => row.flatMap((name, k) => (name && members.includes(name) ? [k] : [])));
        for (const row of rows)
            for (let k = Math.min(...columns); k <= Math.max(...columns); k++) row[k] ??= "";
    }

    /// As high as its cells are free, at most two columns beside where it wants to be.
    private fit(storey: Storey, left: number, shape: (left: number) => Shape, members: string[]): void {
        for (let top = 0; ; top++)
            for (const shift of [0, 1, -1, 2, -2]) {
                const at = left + shift;
                const { width, cells } = shape(at);
                if (at < 0 || at + width > this.columns) continue;
                const rowAt = (row: number) => (storey.below[top + row] ??= this.empty());
                const rows = Math.max(...cells.map((c) => c.row));
                const there = storey.below.slice(top, top + rows + 1).flatMap((row) => row.slice(at, at + width));
                if (there.some((name) => name !== null)) continue;
                for (let row = 0; row <= rows; row++) rowAt(row);
                return cells.forEach((c, k) => (rowAt(c.row)[c.column] = members[k]));
            }
    }

    /// In the free cell below the path, or below that, which is nearest to its neighbours.
    private beside(name: string): void {
        const edges = this.rig.edges.filter((e) => e.moves && (e.from === name || e.to === name));
        const near = edges.map((e) => (e.from === name ? e.to : e.from));
        const cells = this.cells();
        const outside = new Set(this.rig.components.filter((c) => c.role === "ambient").map((c) => c.name));
        const known = near.filter((n) => !outside.has(n)).map((n) => cells.get(n)).filter((c): c is Cell => !!c);
        const distance = (row: number, column: number) =>
            known.reduce((sum, c) => sum + Math.abs(c.row - row) + Math.abs(c.column - column), 0);
        let best = { cost: Infinity, set: () => {} };
        let row = 0;
        for (const storey of this.storeys) {
            row += storey.above.length + 1;
            [...storey.below, this.empty()].forEach((cellsOfRow, k) => cellsOfRow.forEach((taken, column) => {
                const newRow = k === storey.below.length;
                const cost = distance(row + k, column) + (newRow ? 1.5 : 0);
                if (taken !== null || cost >= best.cost) return;
                best = { cost, set: () => ((storey.below[k] ??= this.empty())[column] = name) };
            }));
            row += storey.below.length;
        }
        best.set();
    }
}

function nearestFree(row: Row, column: number): number | null {
    const free = row.flatMap((taken, k) => (taken === null ? [k] : []));
    return free.sort((a, b) => Math.abs(a - column) - Math.abs(b - column))[0] ?? null;
}

/// Columns that a loop of two rows takes, with one cell left open.
const loopWidth = (members: number): number => Math.max(2, Math.ceil((members + 1) / 2));

/// Cells around a rectangle, clockwise, beginning behind the open cell `gap` of its top row (null: none is open). What
/// there is too much of is left out in the middle of the bottom row.
export function around(count: number, width: number, gap: number | null): Cell[] {
    const open = gap === null ? 0 : 1;
    if (width === 1) return Array.from({ length: count }, (_, row) => ({ row: row + open, column: 0 }));
    const rows = Math.max(2, Math.ceil((count + open - 2 * width) / 2) + 2);
    const line = (from: number, to: number) =>
        Array.from({ length: Math.abs(to - from) + 1 }, (_, k) => from + Math.sign(to - from) * k);
    const bottom = rows - 1;
    const sides = bottom > 1;
    const ring: Cell[] = [
        ...line(0, width - 1).map((column) => ({ row: 0, column })),
        ...(sides ? line(1, bottom - 1).map((row) => ({ row, column: width - 1 })) : []),
        ...line(width - 1, 0).map((column) => ({ row: bottom, column })),
        ...(sides ? line(bottom - 1, 1).map((row) => ({ row, column: 0 })) : []),
    ];
    const cells = gap === null ? ring : [...ring.slice(gap + 1), ...ring.slice(0, gap)];
    while (cells.length > count) {
        const below = cells.filter((c) => c.row === bottom);
        cells.splice(cells.indexOf(below[Math.floor(below.length / 2)]), 1);
    }
    return cells;
}
