/// What is given for what: one upright axis a number, one line a combination; better is up.

import type { Choices, Measure } from "./choice_model";
import { tickStep } from "./choice_scale";
import { tag } from "./choice_tables";
import { h, svg } from "./dom";
import { multiples } from "./series";
import { numberText } from "./units";

const height = 340, top = 76, bottom = 28;
const notches = 100; // of a range's slider

/// One axis: what it spans (as shown), and the part of it that is asked for.
interface Upright {
    measure: Measure;
    span: [low: number, high: number];
    kept: [low: number, high: number]; // notches
}

/// The picture with its key and its ranges.
export function tradeoffs(model: Choices): HTMLElement[] {
    return model.measures.length < 2 || model.page.shortlist.length === 0
        ? [h("p", {}, model.page.shortlist.length === 0 ? "Nothing is on the shortlist."
            : "There is only one number: nothing to trade.")]
        : [new Tradeoffs(model).element];
}

class Tradeoffs {
    readonly element: HTMLElement;
    private readonly drawing = svg("svg", { class: "tradeoffs", role: "img" });
    private readonly told = h("p", { class: "aside kept", "aria-live": "polite" });
    private readonly uprights: Upright[];
    private readonly eligible: number[];
    private width = 0;

    constructor(private readonly model: Choices) {
        const { eligible } = model.page.combinations;
        this.eligible = eligible.flatMap((one, k) => (one ? k : []));
        this.uprights = model.measures.map((measure) => ({ measure, span: [0, 1], kept: [0, notches] }));
        const stage = h("div", { class: "stage" }, this.drawing);
        const key = h("p", { class: "picture-key aside" }, ...model.named.map((one) => h("span", {}, tag(one))),
            h("span", {}, "faint: all that grant every wish"),
                h("span", {}, "Up is better on every axis; a cross-bar is a wish's limit."));
        const ranges = h("details", { class: "ranges screen-only" }, h("summary", {}, "Narrow by range"),
            h("div", { class: "range-list" }, ...this.uprights.map((one) => this.range(one))));
        this.element = h("div", { class: "choice-tradeoffs" }, key, stage, this.told, ranges);
        new ResizeObserver(([{ contentRect }]) => {
            if (Math.abs(contentRect.width - this.width) < 1) return;
            this.width = contentRect.width;
            this.draw();
        }).observe(stage);
        model.formats.onChange(() => this.draw());
    }

    private range(upright: Upright): HTMLElement {
        const text = h("output", { class: "number" });
        const say = () => (text.textContent = upright.kept.every((at, end) => at === end * notches) ? "any"
            : upright.kept.map((at) => numberText(this.at(upright, at), upright.measure.decimals)).join(" to ") +
                ` ${this.model.formats.unit(upright.measure.unit)}`);
        const slider = (end: 0 | 1) => {
            const input = h("input", {
                type: "range", min: 0, max: notches, value: upright.kept[end],
                "aria-label": `${upright.measure.title}, ${end === 0 ? "lowest" : "highest"}`,
            });
            input.addEventListener("input", () => {
                const value = Number(input.value);
                upright.kept[end] = end === 0 ? Math.min(value, upright.kept[1]) : Math.max(value, upright.kept[0]);
                input.value = String(upright.kept[end]);
                say();
                this.draw();
            });
            return input;
        };
        this.model.formats.onChange(() => queueMicrotask(say));
        say();
        return h("div", { class: "range" }, h("span", {}, upright.measure.title), slider(0), slider(1), text);
    }

    private shown({ measure }: Upright, k: number): number | null {
        const si = measure.values[k];
        return si === null ? null : this.model.formats.shown(measure.unit, si);
    }
    private at({ span: [low, high] }: Upright, notch: number): number {
        return low + ((high - low) * notch) / notches;
    }

    private keeps(k: number): boolean {
        return this.uprights.every((upright) => {
            if (upright.kept[0] === 0 && upright.kept[1] === notches) return true;
            const value = this.shown(upright, k);
            const slack = 1e-9 * Math.abs(upright.span[1] - upright.span[0]);
            return value !== null && value >= this.at(upright, upright.kept[0]) - slack &&
                value <= this.at(upright, upright.kept[1]) + slack;
        });
    }

    private draw(): void {
        const { model, width, uprights } = this;
        if (width < 50) return;
        for (const upright of uprights) upright.span = this.spanOf(upright);
        const kept = this.eligible.filter((k) => this.keeps(k));
        const side = width < 500 ? 44 : 76;
        const step = (width - 2 * side) / (uprights.length - 1);
        const xs = uprights.map((_, k) => side + k * step);
        const line = (k: number) => {
            let path = "";
            uprights.forEach((upright, i) => {
                const value = this.shown(upright, k);
                path += value === null ? ""
                    : `${path === "" ? "M" : "L"}${xs[i].toFixed(1)} ${this.y(upright, value).toFixed(1)}`;
            });
            return path;
        };
        this.drawing.setAttribute("viewBox", `0 0 ${width} ${height}`);
        this.drawing.setAttribute("aria-label",
            `${uprights.map(({ measure }) => measure.title).join(", ")} of the shortlist and of ${kept.length} others`);
        this.drawing.replaceChildren(
            svg("path", { class: "faint", d: kept.map(line).join("") }),
            ...uprights.map((upright, i) => this.upright(upright, xs[i], Math.min(step, 2 * side),
                i === uprights.length - 1)),
            ...model.named.map(({ combination, style, label }) => svg("g",
                { class: this.keeps(combination) ? "listed" : "listed out", "data-k": combination },
                svg("path", { d: line(combination), style: `stroke: ${style.css}`,
                    "stroke-dasharray": style.dash.join(" ") || "none", "stroke-width": style.width }),
                this.endName(combination, label === "as it stands" ? "as is" : label, style.css, xs))));
        this.told.textContent = uprights.every(({ kept: [low, high] }) => low === 0 && high === notches)
            ? "" : `${kept.length} of the ${this.eligible.length} that grant every wish lie within these ranges.`;
    }

    /// Labels at the left end one beside the other where lines begin together, and at the right end.
    private endName(combination: number, label: string, colour: string, xs: readonly number[]): Element {
        const group = svg("g", {});
        for (const [i, anchor, away] of [[0, "end", -8], [xs.length - 1, "start", 8]] as const) {
            const value = this.shown(this.uprights[i], combination);
            if (value === null) continue;
            group.append(svg("text", {
                class: "name", x: xs[i] + away, y: this.free(i, this.y(this.uprights[i], value), combination) + 4,
                    "text-anchor": anchor, style: `fill: ${colour}`,
            }, label));
        }
        return group;
    }

    /// Names of one axis from above to below, at least a line apart.
    private free(axis: number, own: number, combination: number): number {
        const upright = this.uprights[axis];
        const all = this.model.named.flatMap(({ combination: k }) => {
            const value = this.shown(upright, k);
            return value === null ? [] : { k, y: this.y(upright, value) };
        }).sort((a, b) => a.y - b.y);
        let last = -Infinity;
        const lines = all.map(({ k, y }) => ({ k, y: (last = Math.max(y, last + 13)) }));
        const over = Math.max(0, last - (height - bottom + 14));
        return (lines.find(({ k }) => k === combination)?.y ?? own) - over;
    }

    private spanOf({ measure }: Upright): [number, number] {
        const { formats, named } = this.model;
        const { at_least = null, at_most = null } = measure.wish ?? {};
        const listed = named.map(({ combination }) => combination);
        const values = [...[...this.eligible, ...listed].map((k) => measure.values[k]), at_least, at_most]
            .flatMap((si) => (si === null ? [] : formats.shown(measure.unit, si)));
        const [low, high] = [Math.min(...values), Math.max(...values)];
        return high > low ? [low, high] : [low - 0.5, low + 0.5];
    }

    private y({ measure, span: [low, high] }: Upright, value: number): number {
        const share = (value - low) / (high - low);
        return top + (height - top - bottom) * (measure.less ? share : 1 - share);
    }

    private upright(upright: Upright, x: number, room: number, last: boolean): Element {
        const { measure, span: [low, high], kept } = upright;
        const { formats } = this.model;
        const step = tickStep(high - low, 5);
        const decimals = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
        const limits = (["at_least", "at_most"] as const).flatMap((key) => {
            const si = measure.wish?.[key] ?? null;
            if (si === null) return [];
            const y = this.y(upright, formats.shown(measure.unit, si));
            return [svg("rect", { class: "limit-bar", x: x - 9, y: y - 2, width: 18, height: 4 })];
        });
        const [from, to] = kept.map((notch) => this.y(upright, this.at(upright, notch)));
        return svg("g", { class: "upright" },
            svg("line", { x1: x, x2: x, y1: top, y2: height - bottom }),
            (kept[0] > 0 || kept[1] < notches) && svg("rect", {
                class: "kept-range", x: x - 5, y: Math.min(from, to), width: 10,
                height: Math.max(2, Math.abs(to - from)),
            }),
            ...multiples(step, low, high).map((value) => svg("g", {},
                svg("line", { x1: x - 3, x2: x + 3, y1: this.y(upright, value), y2: this.y(upright, value) }),
                svg("text", {
                    class: "halo", x: last ? x - 6 : x + 6, y: this.y(upright, value) + 4,
                    "text-anchor": last ? "end" : "start",
                }, numberText(value, decimals)))),
            ...limits,
            ...wrapped(this.model.heading(measure), Math.max(10, Math.floor(room / 7.5))).map((text, k, all) =>
                svg("text", {
                    class: "axis-title", x, y: top - 14 - 14 * (all.length - 1 - k), "text-anchor": "middle",
                }, text)));
    }
}

/// Words in lines of at most so many letters.
export function wrapped(text: string, most: number): string[] {
    const lines: string[] = [];
    for (const word of text.split(" ")) {
        const last = lines.length - 1;
        if (last >= 0 && lines[last].length + word.length < most) lines[last] += ` ${word}`;
        else lines.push(word);
    }
    return lines;
}
