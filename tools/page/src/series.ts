/// Curves along an axis: a pull's points in rising order, and values between them.

import type { Variant } from "./data";

/// What curves are drawn over.
export type Over = "speed" | "time";

type Values = readonly (number | null)[];

/// The points of one pull along an axis. Where the axis runs back (a tyre that slips, a brake that overshoots) only
/// points beyond all earlier ones count, so that each place on the axis has one value.
export class Track {
    private readonly x: number[] = [];
    private readonly rows: number[] = [];

    constructor(axis: readonly number[]) {
        axis.forEach((value, row) => {
            if (this.x.length > 0 && value <= this.x[this.x.length - 1]) return;
            this.x.push(value);
            this.rows.push(row);
        });
    }

    get from(): number {
        return this.x[0];
    }
    get to(): number {
        return this.x[this.x.length - 1];
    }
    get length(): number {
        return this.x.length;
    }

    /// All of them.
    get places(): readonly number[] {
        return this.x;
    }

    /// Linear between points; null outside them or beside a missing value.
    at(values: Values, place: number): number | null {
        return this.sample(values, [place])[0];
    }

    /// The same at many places in rising order.
    sample(values: Values, places: ArrayLike<number>): (number | null)[] {
        const { x, rows } = this;
        const last = x.length - 1;
        const out: (number | null)[] = new Array(places.length);
        let k = 0;
        for (let i = 0; i < places.length; i++) {
            const place = places[i];
            while (k < last && x[k + 1] <= place) k++;
            out[i] = last < 0 || place < x[0] || place > x[last] ? null : between(values, rows, x, k, place);
        }
        return out;
    }
}

function between(values: Values, rows: number[], x: number[], k: number, place: number): number | null {
    const left = values[rows[k]];
    if (x[k] === place || left === null) return left;
    const right = values[rows[k + 1]];
    return right === null ? null : left + ((right - left) * (place - x[k])) / (x[k + 1] - x[k]);
}

/// Even places over the reach of all tracks, and the ends of each, so that no line stops short.
export function commonGrid(tracks: readonly Track[], count: number): number[] {
    const filled = tracks.filter((t) => t.length > 0);
    if (filled.length === 0) return [];
    const from = Math.min(...filled.map((t) => t.from));
    const to = Math.max(...filled.map((t) => t.to));
    const places = new Set(filled.flatMap((t) => [t.from, t.to]));
    for (let i = 1; i < count; i++) places.add(from + ((to - from) * i) / count);
    return [...places].sort((a, b) => a - b);
}

/// Multiples of a step from just above `from` to `to`.
export function multiples(step: number, from: number, to: number): number[] {
    const slack = step * 1e-9;
    const out: number[] = [];
    for (let k = Math.ceil((from - slack) / step); k * step <= to + slack; k++) out.push(k * step);
    return out;
}

/// Where a curve starts, is highest and lowest, and ends; null where it has no values at all.
export function landmarks(values: Values): { first: number; highest: number; lowest: number; last: number } | null {
    let first = -1, last = -1, highest = -1, lowest = -1;
    values.forEach((value, row) => {
        if (value === null) return;
        if (first < 0) first = highest = lowest = row;
        last = row;
        if (value > values[highest]!) highest = row;
        if (value < values[lowest]!) lowest = row;
    });
    return first < 0 ? null : { first, highest, lowest, last };
}

/// True where a pull sweeps the crank speed far enough to be drawn over it (a locked speed does not).
export function sweepsSpeed(variants: readonly Pick<Variant, "speed">[]): boolean {
    const least = 20; // rad/s, some 200 rpm
    return variants.some((v) => v.speed.length > 1 && new Track(v.speed).to - v.speed[0] > least);
}
