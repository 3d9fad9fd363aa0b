/// Words, numbers and order of a rig's drawing.

import type { Rig, RigEdge } from "./data";
import type { Box } from "./rig_layout";

const potentials: Record<string, string> = { T: "temperature", p: "pressure", omega: "speed" };

/// What a channel of a component is called: "gas temperature", "pressure drop".
export function itemText(component: string, channel: string): string {
    const [node, potential] = channel.slice(component.length + 1).split(".");
    return `${node} ${potential === undefined ? "" : potentials[potential] ?? potential}`.trim().replaceAll("_", " ");
}

/// What a component's author wrote about a quantity, without the marks of code.
export const docText = (doc: string): string => doc.replaceAll("`", "").replaceAll("->", "→");

/// Digits behind the point that show three or four of them in all.
export function decimalsFor(sizes: number[]): number {
    const largest = Math.max(0, ...sizes);
    if (largest === 0) return 0;
    const digits = Math.floor(Math.log10(largest) + 1e-9);
    return digits >= 3 ? 0 : digits >= 1 ? 1 : Math.min(6, 2 - digits);
}

/// The box that an arrow key leads to: the nearest in that direction; null for other keys.
export function neighbour(boxes: Box[], name: string, key: string): string | null {
    const at = boxes.findIndex((b) => b.component.name === name);
    if (key === "Home") return boxes[0].component.name;
    if (key === "End") return boxes[boxes.length - 1].component.name;
    if (key === "ArrowRight" || key === "ArrowLeft") {
        const step = key === "ArrowRight" ? 1 : -1;
        return boxes[(at + step + boxes.length) % boxes.length].component.name;
    }
    if (key !== "ArrowUp" && key !== "ArrowDown") return null;
    const middle = (b: Box) => ({ x: b.x + b.width / 2, bottom: b.y + b.height });
    const here = middle(boxes[at]);
    const sign = key === "ArrowDown" ? 1 : -1;
    const distance = (b: Box) => Math.abs(middle(b).bottom - here.bottom) * 4 + Math.abs(middle(b).x - here.x);
    const there = boxes.filter((b) => sign * (middle(b).bottom - here.bottom) > 0);
    return there.sort((a, b) => distance(a) - distance(b))[0]?.component.name ?? name;
}

/// What a component has to do with others, in words.
export function connections(rig: Rig, name: string): [string, string[]][] {
    const found = new Map<string, string[]>();
    const add = (what: string, text: string) => {
        const texts = found.get(what) ?? [];
        if (!texts.includes(text)) found.set(what, [...texts, text]);
    };
    const at = (end: string, e: RigEdge) => (e.moves && e.label ? `${end} (${e.label})` : end);
    for (const e of rig.edges) {
        if (e.moves && e.to === name) add(`${e.domain} from`, e.from);
        if (e.moves && e.from === name) add(`${e.domain} to`, at(e.to, e));
        if (!e.moves && e.to === name) add("reads", e.domain === "signal" ? `${e.label} of ${e.from}` : e.from);
        if (!e.moves && e.from === name) add("is read by", e.to);
    }
    return [...found];
}
