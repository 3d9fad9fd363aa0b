/// Places along the axes of pictures of combinations.

import { multiples } from "./series";

/// A linear scale from what is shown to places.
export interface Scale {
    from: number;
    to: number;
    place(value: number): number;
    ticks: number[];
    decimals: number; // that the ticks need
}

/// A scale over these values, with some room at both ends, onto [start, end].
export function scaleOver(values: readonly number[], [start, end]: readonly [number, number], about: number,
    room = 0.04): Scale {
    let from = Math.min(...values), to = Math.max(...values);
    if (!(from <= to)) [from, to] = [0, 1];
    const reach = to - from > 0 ? to - from : Math.abs(from) || 1;
    [from, to] = to > from ? [from - room * reach, to + room * reach] : [from - 0.5 * reach, to + 0.5 * reach];
    const step = tickStep(to - from, about);
    return {
        from, to, ticks: multiples(step, from, to), decimals: Math.max(0, -Math.floor(Math.log10(step) + 1e-9)),
        place: (value) => start + ((end - start) * (value - from)) / (to - from),
    };
}

/// A round step (1, 2 or 5 by a power of ten) that divides a reach into about so many.
export function tickStep(reach: number, about: number): number {
    const raw = reach / about;
    const power = 10 ** Math.floor(Math.log10(raw));
    return power * ([1, 2, 5].find((factor) => factor * power >= raw * 0.999999) ?? 10);
}

interface Box {
    x: number;
    y: number;
    width: number;
    height: number;
}
/// Where a label goes; `away`: far enough from its point to need a line to it.
export interface Label extends Box {
    away: boolean;
}

const overlap = (a: Box, b: Box): number =>
    Math.max(0, Math.min(a.x + a.width, b.x + b.width) - Math.max(a.x, b.x)) *
    Math.max(0, Math.min(a.y + a.height, b.y + b.height) - Math.max(a.y, b.y));

/// Puts labels beside their points, in their order, each where it covers no label before it and no point (of
/// its own or of others) if there is such a place around it.
export function placeLabels(
    points: readonly { x: number; y: number; width: number }[], height: number, frame: Box,
    others: readonly { x: number; y: number }[] = [],
): Label[] {
    const dots = [...points, ...others].map(({ x, y }) => ({ x: x - 5, y: y - 5, width: 10, height: 10 }));
    const placed: Label[] = [];
    for (const { x, y, width } of points) {
        let best: Label | null = null, least = Infinity;
        for (const distance of [9, 20, 34, 50])
            for (const angle of [0, 270, 90, 180, 315, 45, 225, 135]) {
                const [dx, dy] = [Math.cos((angle * Math.PI) / 180), Math.sin((angle * Math.PI) / 180)];
                const at: Label = {
                    x: x + dx * distance + (width * (Math.sign(Math.round(dx * 10)) - 1)) / 2,
                        y: y + dy * (distance + height / 4) - height / 2,
                    width, height, away: distance > 9,
                };
                const outside = width * height - overlap(at, frame);
                const cost = distance + 40 * outside +
                    [...placed, ...dots].reduce((sum, box) => sum + 10 * overlap(at, box), 0);
                if (cost < least) [best, least] = [at, cost];
            }
        placed.push(best!);
    }
    return placed;
}
