/// An interval about no change, as fractions of the width: no change stands in the middle, whatever the interval.

const margin = 0.04; // of the width, on either side

/// Where the parts of the picture stand, 0 .. 1.
export interface Whisker {
    low: number;
    estimate: number;
    high: number;
    limit: number | null; // signed: of the change that would be worse
}

/// Places of an interval, its estimate and a limit; what is farthest from no change stands at a margin. An end that is
/// null is open: the edge.
export function whisker(low: number | null, estimate: number, high: number | null, limit: number | null): Whisker {
    const reach = Math.max(...[low, estimate, high, limit].map((change) => Math.abs(change ?? 0)));
    const place = (change: number) => (reach > 0 ? 0.5 + (0.5 - margin) * (change / reach) : 0.5);
    return {
        low: low === null ? 0 : place(low), estimate: place(estimate), high: high === null ? 1 : place(high),
        limit: limit === null ? null : place(limit),
    };
}
