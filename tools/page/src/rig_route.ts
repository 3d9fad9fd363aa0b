/// Finds ways for lines between boxes: along a fine grid, around every box, crossing other lines only at right angles
/// and never running on top of them.

export interface Point {
    x: number;
    y: number;
}
export interface Rectangle extends Point {
    width: number;
    height: number;
}
export type Side = "left" | "right" | "top" | "bottom";

/// Distance of the grid's lines. Boxes begin and end on it sideways, and half-way between two of its lines up and down.
export const pitch = 8;

const directions = [{ x: 1, y: 0 }, { x: 0, y: 1 }, { x: -1, y: 0 }, { x: 0, y: -1 }]; // right, down, left, up
const turns = [0, 1, 3]; // straight on, or to either side
const cost = { step: 1, bend: 5, crossing: 14, offCentre: 0.25 }; // whole numbers: ports shift by a multiple of 16
const unreached = 2 ** 31 - 1;
const along = [1, 2]; // flags of a grid point: a line passes sideways, up or down
const corner = 4;

/// Where a line leaves or reaches a box: on its edge, then the first point of the grid outside.
interface Port {
    edge: Point;
    node: number;
    direction: number; // outwards
    cost: number;
}

export class Router {
    private readonly columns: number;
    private readonly blocked: Uint8Array;
    private readonly used: Uint8Array;
    // Of a search, by state: a point and the direction in which it is entered.
    private readonly best: Int32Array;
    private readonly before: Int32Array;
    private readonly done: Uint8Array;

    constructor(width: number, height: number, boxes: Iterable<Rectangle>) {
        this.columns = Math.floor(width / pitch) + 1;
        const rows = Math.floor(height / pitch) + 1;
        this.blocked = new Uint8Array(this.columns * rows);
        this.used = new Uint8Array(this.columns * rows);
        this.best = new Int32Array(this.used.length * 4);
        this.before = new Int32Array(this.used.length * 4);
        this.done = new Uint8Array(this.used.length * 4);
        const border = (at: number, count: number) => at === 0 || at === count - 1;
        for (let column = 0; column < this.columns; column++)
            for (let row = 0; row < rows; row++)
                if (border(column, this.columns) || border(row, rows)) this.blocked[this.node(column, row)] = 1;
        for (const box of boxes)
            for (let column = box.x / pitch; column <= (box.x + box.width) / pitch; column++)
                for (let row = Math.floor(box.y / pitch); row <= Math.ceil((box.y + box.height) / pitch); row++)
                    this.blocked[this.node(column, row)] = 1;
    }

    /// The cheapest way from one box to another; null where there is none. It is taken from then on.
    connect(from: Rectangle, to: Rectangle, fromSides: readonly Side[], toSides: readonly Side[]): Point[] | null {
        const found = this.search(this.ports(from, fromSides), this.ports(to, toSides), to);
        if (!found) return null;
        const { states, start, end } = found;
        states.forEach((state, k) => this.take(state >> 2, state & 3, (states[k + 1] ?? state) & 3));
        return straightened([start.edge, ...states.map((state) => this.point(state >> 2)), end.edge]);
    }

    /// A short line out of a box into free space; null where there is none.
    stub(from: Rectangle, sides: readonly Side[]): Point[] | null {
        for (const port of this.ports(from, sides)) {
            const next = this.step(port.node, port.direction);
            if (this.used[port.node] || this.used[next] || this.blocked[next]) continue;
            this.used[port.node] = this.used[next] = corner;
            return [port.edge, this.point(next)];
        }
        return null;
    }

    private node = (column: number, row: number): number => row * this.columns + column;
    private point = (node: number): Point =>
        ({ x: (node % this.columns) * pitch, y: Math.floor(node / this.columns) * pitch });
    private step = (node: number, direction: number): number =>
        node + directions[direction].x + directions[direction].y * this.columns;

    private take(node: number, into: number, out: number): void {
        this.used[node] |= into === out ? along[into % 2] : corner;
    }

    private ports(box: Rectangle, sides: readonly Side[]): Port[] {
        const middle = { x: box.x + box.width / 2, y: box.y + box.height / 2 };
        return sides.flatMap((side) => {
            const upright = side === "top" || side === "bottom";
            const reach = Math.floor(((upright ? box.width : box.height) / 2 - pitch) / (2 * pitch));
            const direction = ["right", "bottom", "left", "top"].indexOf(side);
            return Array.from({ length: 2 * reach + 1 }, (_, k) => (k - reach) * 2 * pitch).map((shift): Port => {
                const edge = upright ? { x: middle.x + shift, y: side === "top" ? box.y : box.y + box.height }
                    : { x: side === "left" ? box.x : box.x + box.width, y: middle.y + shift };
                const out = directions[direction];
                const node = this.node(edge.x / pitch + out.x, edge.y / pitch + out.y * 1.5);
                return { edge, direction, node, cost: Math.abs(shift) * cost.offCentre };
            });
        }).filter((port) => !this.blocked[port.node]).sort((a, b) => a.cost - b.cost);
    }

    /// What it costs to go through a point; Infinity where another line has it.
    private through(node: number, into: number, out: number): number {
        const used = this.used[node];
        if (into !== out) return used ? Infinity : cost.bend;
        if (used & corner || used & along[into % 2]) return Infinity;
        return used ? cost.crossing : 0;
    }

    /// A* over grid points and the direction in which each is entered.
    private search(from: Port[], to: Port[], target: Rectangle): { states: number[]; start: Port; end: Port } | null {
        const { best, before, done, columns } = this;
        best.fill(unreached);
        done.fill(0);
        const starts = new Map(from.map((port) => [port.node * 4 + port.direction, port]));
        const ends = new Map(to.map((port) => [port.node * 4 + ((port.direction + 2) % 4), port]));
        const queue = new Queue();
        const [right, bottom] = [target.x + target.width, target.y + target.height];
        const ahead = (node: number) => {
            const [x, y] = [(node % columns) * pitch, Math.floor(node / columns) * pitch];
            const gap = Math.max(0, target.x - x, x - right) + Math.max(0, target.y - y, y - bottom);
            return Math.floor(gap / pitch) * cost.step;
        };
        const reach = (state: number, total: number, previous: number) => {
            if (total >= best[state]) return;
            best[state] = total;
            before[state] = previous;
            queue.push(state, total + ahead(state >> 2));
        };
        for (const [state, port] of starts) reach(state, port.cost, -1);
        const finished = new Map<number, Port>(); // negative states stand for "through the port into the box"
        for (let state = queue.pop(); state !== null; state = queue.pop()) {
            if (state < 0) return { ...this.trace(-state - 1, starts), end: finished.get(state)! };
            if (done[state]) continue;
            done[state] = 1;
            const node = state >> 2, into = state & 3, soFar = best[state];
            const port = ends.get(state);
            if (port && this.through(node, into, into) < Infinity) {
                finished.set(-state - 1, port);
                queue.push(-state - 1, soFar + this.through(node, into, into) + port.cost);
            }
            for (let turn = 0; turn < turns.length; turn++) {
                const out = (into + turns[turn]) % 4;
                const next = this.step(node, out);
                if (this.blocked[next]) continue;
                const price = this.through(node, into, out);
                if (price < Infinity) reach(next * 4 + out, soFar + price + cost.step, state);
            }
        }
        return null;
    }

    private trace(last: number, starts: Map<number, Port>): { states: number[]; start: Port } {
        const states = [last];
        for (let state = this.before[last]; state >= 0; state = this.before[state]) states.unshift(state);
        return { states, start: starts.get(states[0])! };
    }
}

/// Cheapest first; of equals the one that came first. Totals are whole numbers, each with a line of its own.
class Queue {
    private readonly lines: number[][] = [];
    private readonly served: number[] = []; // of each line
    private cheapest = 0;

    push(state: number, total: number): void {
        for (let k = this.lines.length; k <= total; k++) {
            this.lines.push([]);
            this.served.push(0);
        }
        this.lines[total].push(state);
        if (total < this.cheapest) this.cheapest = total;
    }

    pop(): number | null {
        for (; this.cheapest < this.lines.length; this.cheapest++) {
            const line = this.lines[this.cheapest], at = this.served[this.cheapest];
            if (at === line.length) continue;
            this.served[this.cheapest]++;
            return line[at];
        }
        return null;
    }
}

function straightened(points: Point[]): Point[] {
    return points.filter((p, k) => {
        const [a, b] = [points[k - 1], points[k + 1]];
        return !a || !b || !((a.x === p.x && p.x === b.x) || (a.y === p.y && p.y === b.y));
    });
}
