/// How a plot looks: thin rules, horizontal figures, a letter at the end of each line.

import uPlot from "uplot";

import type { Curve } from "./data";
import type { PlotGroup } from "./plot";
import { numberText } from "./units";
import { grounds, pointShape, type VariantStyle } from "./variants";

/// Paper has finer dots than a screen: charts are drawn this much larger for it and scaled down by the style sheet.
export const printScale = 3;

/// Points as shown.
export interface Readings {
    x: number[];
    y: (number | null)[];
}

/// What a plot is made from.
export interface PlotParts {
    group: PlotGroup;
    curve: Curve;
    styles: VariantStyle[];
    bands: [number, number][]; // pairs of lines with a band between them
    points: number[]; // lines that are drawn as points
    readings: (i: number) => Readings; // of such a line
    width: number; // CSS pixels
    height: number;
    scale: number;
}

const sans = 'system-ui, "Segoe UI", Roboto, "Helvetica Neue", Arial, sans-serif';
const greys = {
    rule: ["#e4dfd4", "#3a3732"], axis: ["#8b857a", "#8f897e"], text: ["#57524a", "#b9b2a5"], paper: grounds,
};
type Ends = [min: number | null, max: number | null];
const bandOpacity = "24"; // hexadecimal, of 255: bands shine through each other
const axisHeight = 26, labelHeight = 20;
/// Left and right of the lines.
export const axisWidth = 50, markRoom = 20;

/// uPlot's options.
export function plotOptions(parts: PlotParts): uPlot.Options {
    const { group, styles, scale: k } = parts;
    const side = () => (group.dark ? 1 : 0);
    const marked = styles.flatMap((style, i) => (parts.points.includes(i) ? [] : { i, style }));
    const grey = (name: keyof typeof greys) => () => greys[name][side()];
    const ink = (i: number) => styles[i].ink[side()];
    const ticks = group.axisTicks();
    const axis = {
        stroke: grey("text"), font: `${12 * k}px ${sans}`, labelFont: `${12 * k}px ${sans}`, gap: 4 * k,
        grid: { stroke: grey("rule"), width: k }, ticks: { stroke: grey("axis"), width: k, size: 4 * k },
    };
    return {
        width: parts.width * k, height: parts.height * k,
        padding: [8 * k, markRoom * k, 0, 0],
        legend: { show: false },
        scales: {
            x: { time: false, range: () => group.window },
            y: { range: (_, min, max) => verticalRange(reaching(group, parts.curve, min, max), parts.curve.decimals) },
        },
        series: [{}, ...styles.map((style, i) => ({
            scale: "y", width: style.width * k, dash: style.dash.map((d) => d * k), cap: "butt" as const,
            stroke: () => ink(i), points: { show: false }, ...(parts.points.includes(i) && { paths: () => null }),
        }))],
        // Each way round, since the lines may cross: a band is filled from its first line down to its second.
        bands: parts.bands.flatMap(([a, b]) => [[a, b], [b, a]].map(([from, to]) => (
            { series: [from + 1, to + 1] as uPlot.Band.Bounds, fill: () => ink(a) + bandOpacity }))),
        axes: [
            {
                ...axis, size: axisHeight * k, space: 56 * k,
                values: ticks ? (_, places, __, ___, step) => ticks.texts(places, step) : tickTexts,
                ...(ticks && { incrs: ticks.steps }), label: () => group.axisTitle(),
                labelSize: labelHeight * k, labelGap: 0, border: { show: true, stroke: grey("axis"), width: k },
            },
            { ...axis, size: axisWidth * k, space: 28 * k, values: tickTexts, ticks: { show: false } },
        ],
        cursor: {
            y: false, drag: { x: true, y: false, setScale: false, dist: 6 },
            points: { size: 8, width: 2, stroke: (_, i) => ink(i - 1), fill: grey("paper") },
            bind: { dblclick: () => () => { group.whole(); return null; } },
        },
        hooks: {
            ready: [(u) => follow(u, group)],
            setSelect: [(u) => zoomToSelection(u, group)],
            drawClear: [(u) => group.drawUnder(u, parts.curve, k)],
            drawAxes: [(u) => drawZero(u, greys.axis[side()], k)],
            draw: [
                (u) => parts.points.forEach((i) => drawPoints(u, parts.readings(i), pointShape(styles[i]), ink(i), k)),
                (u) => drawMarks(u, marked, ink, k),
                (u) => group.drawOver(u, parts.curve, k),
            ],
        },
    };
}

/// The pointer moves the cursor of all plots; a finger does while it is down and leaves it where it was lifted.
function follow(u: uPlot, group: PlotGroup): void {
    const move = (event: PointerEvent) => {
        const left = event.clientX - u.over.getBoundingClientRect().left;
        group.setCursor(Math.min(group.window[1], Math.max(group.window[0], u.posToVal(left, "x"))));
    };
    u.over.addEventListener("pointermove", move);
    u.over.addEventListener("pointerdown", move);
    u.over.addEventListener("pointerleave", (event) => event.pointerType === "mouse" && group.setCursor(null));
}

function zoomToSelection(u: uPlot, group: PlotGroup): void {
    const { left, width } = u.select;
    if (width <= 0) return;
    u.setSelect({ left: 0, top: 0, width: 0, height: 0 }, false);
    group.zoom(u.posToVal(left, "x"), u.posToVal(left + width, "x"));
}

/// Bounds of the lines, widened to what the group wants to see.
function reaching(group: PlotGroup, curve: Curve, min: number | null, max: number | null): Ends {
    const reach = group.reach[curve.key]?.map((si) => group.formats.shown(curve.unit, si));
    if (!reach || min === null || max === null) return [min, max];
    return [Math.min(min, ...reach), Math.max(max, ...reach)];
}

/// A little air around the curves; a curve that hardly moves is not blown up beyond what its decimals mean.
function verticalRange([min, max]: Ends, decimals: number): [number, number] {
    if (min === null || max === null) return [0, 1];
    const least = 5 * 10 ** -Math.max(0, decimals);
    const lack = Math.max(0, least - (max - min)) / 2;
    const limit = { pad: 0.08, soft: 0, mode: 3 as const };
    return uPlot.rangeNum(min - lack, max + lack, { min: limit, max: limit }) as [number, number];
}

function tickTexts(_: uPlot, places: number[], __: number, ___: number, step: number): string[] {
    const decimals = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
    const exact = Math.abs(step * 10 ** decimals - Math.round(step * 10 ** decimals)) < 1e-9;
    return places.map((place) => numberText(place, exact ? decimals : decimals + 1));
}

/// A firmer rule at zero, where it lies inside: margins change their meaning there.
function drawZero(u: uPlot, colour: string, k: number): void {
    const { min, max } = u.scales.y;
    if (min === undefined || max === undefined || !(min < 0 && max > 0)) return;
    const { ctx, bbox } = u;
    const y = Math.round(u.valToPos(0, "y", true)) + 0.5;
    ctx.save();
    ctx.strokeStyle = colour;
    ctx.lineWidth = k * uPlot.pxRatio;
    ctx.beginPath();
    ctx.moveTo(bbox.left, y);
    ctx.lineTo(bbox.left + bbox.width, y);
    ctx.stroke();
    ctx.restore();
}

/// A letter's place, canvas pixels, and its line.
export interface Mark {
    i: number;
    x: number;
    y: number;
}

function drawPoints(u: uPlot, { x, y }: Readings, shape: string, colour: string, k: number): void {
    const pixel = k * uPlot.pxRatio;
    const path = new Path2D(shape);
    const [from, to] = [u.scales.x.min!, u.scales.x.max!];
    const { ctx } = u;
    ctx.save();
    ctx.strokeStyle = colour;
    ctx.lineWidth = 1.1;
    ctx.setLineDash([]);
    x.forEach((place, row) => {
        const value = y[row];
        if (value === null || place < from || place > to) return;
        ctx.setTransform(pixel, 0, 0, pixel, u.valToPos(place, "x", true), u.valToPos(value, "y", true));
        ctx.stroke(path);
    });
    ctx.restore();
}

/// Each line's letter just behind its end, moved apart where ends lie close.
function drawMarks(
    u: uPlot, lines: { i: number; style: VariantStyle }[], ink: (i: number) => string, k: number,
): void {
    const pixel = k * uPlot.pxRatio;
    const ends = lines.flatMap(({ i }) => endOf(u, i) ?? []);
    const marks = spread(ends, 12 * pixel, [u.bbox.top, u.bbox.top + u.bbox.height]);
    const { ctx } = u;
    ctx.save();
    ctx.font = `600 ${11.5 * pixel}px ${sans}`;
    ctx.textAlign = "left";
    ctx.textBaseline = "middle";
    for (const mark of marks) {
        ctx.fillStyle = ink(mark.i);
        ctx.fillText(lines.find(({ i }) => i === mark.i)!.style.mark, mark.x + 5 * pixel, mark.y);
    }
    ctx.restore();
}

/// The last visible point of a line, in canvas pixels.
function endOf(u: uPlot, i: number): Mark | null {
    const [x, y] = [u.data[0], u.data[i + 1]];
    let last = u.valToIdx(u.scales.x.max!);
    if (x[last] > u.scales.x.max!) last--;
    const first = u.valToIdx(u.scales.x.min!);
    while (last >= first && (y[last] === null || y[last] === undefined)) last--;
    return last < first ? null : { i, x: u.valToPos(x[last], "x", true), y: u.valToPos(y[last]!, "y", true) };
}

/// Letters at about the same place of the axis keep a distance, in the order of their lines, and stay inside.
export function spread(marks: readonly Mark[], distance: number, [top, bottom]: [number, number]): Mark[] {
    const clusters: Mark[][] = [];
    for (const mark of marks) {
        const near = clusters.find(([first]) => Math.abs(first.x - mark.x) <= distance);
        if (near) near.push({ ...mark });
        else clusters.push([{ ...mark }]);
    }
    for (const cluster of clusters) {
        cluster.sort((a, b) => a.y - b.y || a.i - b.i);
        for (let pass = 0; pass < 20; pass++)
            cluster.forEach((lower, k) => k > 0 && push(cluster[k - 1], lower, distance));
        let [floor, ceiling] = [top, bottom];
        for (const mark of cluster) floor = (mark.y = Math.max(mark.y, floor)) + distance;
        for (const mark of cluster.reverse()) ceiling = (mark.y = Math.min(mark.y, ceiling)) - distance;
    }
    return clusters.flat();
}

function push(upper: Mark, lower: Mark, distance: number): void {
    const lack = Math.max(0, distance - (lower.y - upper.y));
    upper.y -= lack / 2;
    lower.y += lack / 2;
}
