/// How the lines of the live page are told apart: the live run, the pinned one beside it, and a sketch.

import type { VariantStyle } from "../variants";

type Ink = VariantStyle["ink"];
const style = (index: number, mark: string, ink: Ink, dash: readonly number[], width: number): VariantStyle => ({
    index, mark, ink, dash, width, css: `light-dark(${ink[0]}, ${ink[1]})`,
});

export const ghostStyle = style(0, "○", ["#6b665c", "#a8a195"], [6, 4], 1.3);
export const liveStyle = style(1, "●", ["#00609c", "#6cb8ee"], [], 2.2);
export const sketchStyle = style(2, "?", ["#8a4b2a", "#d9a384"], [], 3.2); // a soft red-brown pencil
export const baseStyle = style(3, "", ["#1c1b19", "#f1ede4"], [], 0); // not drawn
