/// From one value to another, step by step, as fractions of the width.

/// One bar: it begins where the one before it ends.
export interface Step {
    start: number;
    end: number;
}

const margin = 0.04; // of the width, on either side

/// Places of both values and of the steps between them; all in 0 .. 1, the smallest and largest at the margins.
export function waterfall(from: number, to: number, shares: readonly number[]): { from: number; to: number; steps: Step[] } {
    const levels = [from];
    for (const share of shares) levels.push(levels[levels.length - 1] + share);
    const all = [...levels, to];
    const low = Math.min(...all), span = Math.max(...all) - low;
    const place = (level: number) => (span > 0 ? margin + (1 - 2 * margin) * ((level - low) / span) : 0.5);
    return {
        from: place(from), to: place(to),
        steps: shares.map((_, k) => ({ start: place(levels[k]), end: place(levels[k + 1]) })),
    };
}
