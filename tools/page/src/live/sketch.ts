/// A predicted curve as the reader drew it: SI values at the columns of the curve it was drawn against. No DOM here.

import { Track, type Over } from "../series";

/// Columns and values; a missing value is null.
export interface Line {
    time: number[];
    speed: number[];
    values: (number | null)[];
}

/// How far a sketch was off, SI.
export interface Score {
    mean: number; // mean of |sketch - live| over what was sketched
    end: number; // sketch - live at the last sketched column
    place: number; // of that column
    sketched: Direction; // against the line it was drawn beside
    simulated: Direction;
    covered: number; // share of the columns that were sketched, 0..1
}
export type Direction = "up" | "down" | "same";

export class Sketch {
    readonly values: (number | null)[];

    /// `ghost`: the line that is shown while sketching; its columns become the sketch's.
    constructor(readonly ghost: Line) {
        this.values = ghost.time.map(() => null);
    }

    x(over: Over): number[] {
        return over === "speed" ? this.ghost.speed : this.ghost.time;
    }
    get empty(): boolean {
        return this.values.every((value) => value === null);
    }
    clear(): void {
        this.values.fill(null);
    }
    /// The column nearest to a place on the axis.
    column(over: Over, x: number): number {
        const xs = this.x(over);
        let nearest = 0;
        for (let i = 1; i < xs.length; ++i) if (Math.abs(xs[i] - x) < Math.abs(xs[nearest] - x)) nearest = i;
        return nearest;
    }

    /// A piece of a stroke from one point to the next; the columns between lie on a straight line.
    stroke(over: Over, from: [number, number], to: [number, number]): void {
        const xs = this.x(over);
        const a = this.column(over, from[0]);
        const b = this.column(over, to[0]);
        const span = to[0] - from[0];
        for (let i = Math.min(a, b); i <= Math.max(a, b); ++i) {
            const part = span === 0 ? 1 : Math.min(1, Math.max(0, (xs[i] - from[0]) / span));
            this.values[i] = from[1] + part * (to[1] - from[1]);
        }
    }

    /// Moves a handle; on this axis lines run straight to the handles beside it, which start on the ghost.
    move(over: Over, handles: number[], which: number, value: number): void {
        const own = handles[which];
        for (const other of [handles[which - 1], handles[which + 1]]) {
            if (other === undefined) continue;
            const there = this.values[other] ?? this.ghost.values[other] ?? value;
            this.stroke(over, [this.x(over)[own], value], [this.x(over)[other], there]);
        }
        this.values[own] = value;
    }

    /// Compares with what the engine says, at the same engine speeds or times.
    score(live: Line, over: Over, hardly: number): Score | null {
        const track = new Track(over === "speed" ? live.speed : live.time);
        let count = 0;
        let off = 0;
        let drawn = 0;
        let simulated = 0;
        let end = NaN;
        let place = NaN;
        this.x(over).forEach((x, i) => {
            const value = this.values[i] ?? null;
            const before = this.ghost.values[i] ?? null;
            const after = track.at(live.values, x);
            if (value === null || before === null || after === null) return;
            ++count;
            off += Math.abs(value - after);
            drawn += value - before;
            simulated += after - before;
            end = value - after;
            place = x;
        });
        if (count === 0) return null;
        return {
            mean: off / count,
            end,
            place,
            sketched: direction(drawn / count, hardly),
            simulated: direction(simulated / count, hardly),
            covered: count / this.values.length,
        };
    }
}

function direction(change: number, hardly: number): Direction {
    return Math.abs(change) <= hardly ? "same" : change > 0 ? "up" : "down";
}

/// What a score says. `size` writes the size of a difference, `place` a place of the axis.
export function verdict(score: Score, size: (si: number) => string, place: (x: number) => string): string {
    const part = score.covered < 0.95 ? " over what you drew" : "";
    const none = size(0);
    const end = size(Math.abs(score.end));
    const atEnd = end === none ? "spot on" : `${end} too ${score.end > 0 ? "high" : "low"}`;
    const words = { up: "higher", down: "lower", same: "about the same" };
    const drawn = `on the whole you drew it ${words[score.sketched]}`;
    const direction = score.sketched === score.simulated
        ? `Direction right: ${drawn}, and so it is.`
        : `Direction wrong: ${drawn}, the engine says ${words[score.simulated]}.`;
    const off = `off by ${size(score.mean)} on average${part}, and ${atEnd} at its end (${place(score.place)})`;
    return `Your sketch is ${off}. ${direction}`;
}

/// Columns of `count` handles, spread evenly over the axis.
export function handleColumns(sketch: Sketch, over: Over, count: number): number[] {
    const xs = sketch.x(over);
    const first = xs[0];
    const last = xs[xs.length - 1];
    return Array.from({ length: count }, (_, i) => sketch.column(over, first + ((last - first) * i) / (count - 1)));
}
