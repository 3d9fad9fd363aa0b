/// How each variant is told apart: an ink, a dash pattern and a letter, the same in every chart and table.

import { svg } from "./dom";

/// Inks on paper and on dark paper. After Okabe and Ito's colour-blind-safe set, darkened or lightened until each has
/// 4.5:1 against its ground. The first is the base's.
export const inks: readonly (readonly [light: string, dark: string])[] = [
    ["#1c1b19", "#f1ede4"],
    ["#00609c", "#6cb8ee"],
    ["#b13f00", "#f28f55"],
    ["#00704f", "#45c49a"],
    ["#97407a", "#e294c4"],
    ["#735c00", "#d9b93c"],
    ["#3f7182", "#97cfe0"],
    ["#5c4bb0", "#b3a8f5"],
];
/// The grounds that the inks stand on.
export const grounds = ["#fdfcf9", "#23211e"] as const;

const dashes: readonly (readonly number[])[] =
    [[9, 3], [5, 3], [3, 2], [10, 3, 2, 3], [6, 2, 2, 2, 2, 2], [14, 4], [3, 5]];

/// What a variant is drawn with.
export interface VariantStyle {
    index: number; // in the study's order
    mark: string; // "A"
    ink: readonly [light: string, dark: string];
    css: string; // the ink as a CSS colour that follows the scheme
    dash: readonly number[]; // CSS pixels; empty: solid
    width: number;
}

/// Styles in the order of the study. The base is solid in the text's own ink; an ink that comes again has another dash.
export function variantStyles(variants: readonly { base: boolean }[]): VariantStyle[] {
    let others = 0;
    return variants.map((variant, index) => {
        const turn = variant.base ? -1 : others++;
        const colours = inks.length - 1;
        const ink = variant.base ? inks[0] : inks[1 + (turn % colours)];
        const dash = variant.base ? [] : dashes[(turn + Math.floor(turn / colours)) % dashes.length];
        return {
            index, mark: markOf(index), ink, css: `light-dark(${ink[0]}, ${ink[1]})`, dash,
            width: variant.base ? 2 : 1.8,
        };
    });
}

/// The same for the other edge of a band: a thin line, and a prime at its letter.
export const edgeStyle = (style: VariantStyle): VariantStyle =>
    ({ ...style, mark: `${style.mark}\u2032`, width: style.width * 0.55 });

const markOf = (index: number): string =>
    (index < 26 ? "" : markOf(Math.floor(index / 26) - 1)) + String.fromCharCode(65 + (index % 26));

const shapes = [
    "M2.6 0A2.6 2.6 0 1 1-2.6 0A2.6 2.6 0 1 1 2.6 0Z", "M-2.3-2.3H2.3V2.3H-2.3Z", "M0-3L2.9 2.1H-2.9Z",
    "M0-3.3L3.3 0L0 3.3L-3.3 0Z", "M0 3L2.9-2.1H-2.9Z", "M-2.4-2.4L2.4 2.4M-2.4 2.4L2.4-2.4", "M-3 0H3M0-3V3",
];

/// The outline of the variant's points about their place, CSS pixels.
export const pointShape = ({ index }: VariantStyle): string => shapes[index % shapes.length];

/// A point of the variant, for keys and tables.
export function pointSwatch(style: VariantStyle): SVGSVGElement {
    const point = svg("path", { d: pointShape(style), fill: "none", style: `stroke: ${style.css}` });
    return svg("svg", { class: "swatch", width: 10, height: 10, viewBox: "-5 -5 10 10", "aria-hidden": "true" }, point);
}

/// A short piece of the variant's line, for keys and tables.
export function swatch(style: VariantStyle, width = 30): SVGSVGElement {
    const line = svg("line", {
        x1: 0, y1: 5, x2: width, y2: 5, "stroke-width": style.width, "stroke-dasharray": style.dash.join(" ") || "none",
        style: `stroke: ${style.css}`,
    });
    return svg("svg", { class: "swatch", width, height: 10, viewBox: `0 0 ${width} 10`, "aria-hidden": "true" }, line);
}
