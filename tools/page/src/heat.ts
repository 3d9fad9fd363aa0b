/// The heat-flow picture: how much energy went from where to where up to an instant, as bands and as a table.

import "./heat.css";

import type { HeatFlow, HeatPicture, HeatPlace, UnitKey, Variant } from "./data";
import { h, scrolling, svg } from "./dom";
import { bandsOf, layOut, type Item, type Layout, type Stretch } from "./sankey";
import { numberText, type Formats } from "./units";

const energy: UnitKey = "J|heat";
const energyDecimals = 1;
const barWidth = 7;
const bandHeight = 240; // of the fullest column, CSS pixels
const lineHeight = 15;
const charWidth = 6.6; // mean, of the labels' type
const printWidth = 680;
const bend = { from: 0.12, to: 0.6 }; // where bands leave and reach their level, of the way between columns

/// The picture with its table; `show` draws a variant at one of its instants.
export interface HeatView {
    element: HTMLElement;
    /// All that are compared: they share one scale, from the next `show` on.
    setVariants(variants: readonly Variant[]): void;
    show(variant: Variant, instant: number): void;
}

/// Makes the picture.
export function heatView(picture: HeatPicture, formats: Formats): HeatView {
    return new View(picture, formats);
}

class View implements HeatView {
    readonly element = h("figure", { class: "heat" });
    private readonly canvas = h("div", { class: "heat-canvas" });
    private readonly table = scrolling("Heat flows in figures");
    private largest = new Map<string, number>();
    private variant: Variant | null = null;
    private instant = 0;
    private width = 0;
    private layout: Layout | null = null;

    constructor(private readonly picture: HeatPicture, private readonly formats: Formats) {
        this.element.append(this.canvas, this.table);
        formats.onChange(() => this.draw());
        new ResizeObserver(([entry]) => this.resize(entry.contentRect.width)).observe(this.canvas);
        addEventListener("beforeprint", () => this.resize(printWidth));
        addEventListener("afterprint", () => this.resize(this.canvas.clientWidth));
    }

    setVariants(variants: readonly Variant[]): void {
        const sizes = (flow: HeatFlow) => variants.flatMap((v) => v.heat?.[flow.key] ?? []).map(Math.abs);
        this.largest = new Map(this.picture.flows.map((flow) => [flow.key, Math.max(0, ...sizes(flow))]));
        this.layout = null;
    }

    show(variant: Variant, instant: number): void {
        this.variant = variant;
        this.instant = instant;
        this.draw();
    }

    private resize(width: number): void {
        if (width === this.width || width === 0) return;
        this.width = width;
        this.layout = null;
        this.draw();
    }

    private value = (flow: HeatFlow): number => this.variant?.heat?.[flow.key]?.[this.instant] ?? 0;

    /// What came out of all sources together, less what went back into them.
    private total(): number {
        const sources = new Set(this.picture.places.filter((p) => p.role === "source").map((p) => p.key));
        const sum = (end: "from" | "to") =>
            this.picture.flows.filter((f) => sources.has(f[end])).reduce((s, f) => s + this.value(f), 0);
        return sum("from") - sum("to");
    }

    private draw(): void {
        if (!this.variant) return;
        if (!this.variant.heat) {
            this.canvas.replaceChildren(h("p", {}, "This rig has no charge cooling to draw."));
            this.table.replaceChildren();
            return;
        }
        this.table.replaceChildren(this.inWords());
        if (this.width === 0) return;
        this.layout ??= layOut(this.picture, this.largest, {
            height: bandHeight, gap: 12,
            label: (key, columns) => lineHeight * (this.nameOf(key, columns).length + 1) + 6,
        });
        this.canvas.replaceChildren(this.drawing(this.layout));
    }

    private placeOf = (key: string): HeatPlace => this.picture.places.find((place) => place.key === key)!;
    private nameOf = (key: string, columns: number): string[] =>
        linesOf(this.placeOf(key).label, (this.width - barWidth) / Math.max(1, columns - 1) - barWidth - 8);

    private drawing(layout: Layout): SVGSVGElement {
        const size = (flow: HeatFlow) => Math.abs(this.value(flow)) * layout.pixelsPerJoule;
        const x = (item: Item) => (item.column * (this.width - barWidth)) / Math.max(1, layout.columns - 1);
        const bands = bandsOf(layout, size);
        const flows = this.picture.flows.map((flow) => this.band(flow, bands.get(flow.key)!, size(flow), x));
        const places = [...layout.place.values()].map((item) => this.place(item, x(item), size, layout.columns));
        const height = Math.ceil(layout.height) + 4;
        return svg("svg", {
            viewBox: `0 0 ${this.width} ${height}`, width: this.width, height, role: "img",
            "aria-label": `Heat flows of ${this.variant!.title}; the table below has the same figures.`,
        }, hatching(), ...flows, ...places);
    }

    private band(flow: HeatFlow, stretches: Stretch[], size: number, x: (item: Item) => number): SVGGElement {
        const backwards = this.value(flow) < 0;
        const thick = Math.max(size, 0.6);
        const kind = `band${backwards ? " backwards" : ""}${flow.derived ? " derived" : ""}`;
        const group = svg("g", { class: kind }, svg("title", {}, this.flowText(flow)),
            svg("path", { class: "body", d: outline(stretches, thick, x) }));
        if (size > 0) group.append(arrow(stretches[stretches.length - 1], thick, x, backwards));
        return group;
    }

    private place(item: Item, x: number, size: (flow: HeatFlow) => number, columns: number): SVGGElement {
        const sum = (flows: HeatFlow[]) => flows.reduce((total, flow) => total + size(flow), 0);
        const first = item.column === 0;
        const lines = this.nameOf(item.key, columns);
        const tall = Math.max(1, sum(item.left), sum(item.right));
        const anchor = first ? "start" : "end"; // bands arrive level, so that labels above them stay clear
        const at = first ? x : x + barWidth;
        const top = first ? item.y + tall + lineHeight : item.y - 6 - lineHeight * lines.length;
        return svg("g", { class: "place" },
            svg("rect", { x, y: item.y, width: barWidth, height: tall }),
            ...lines.map((line, k) =>
                svg("text", { class: "name", x: at, y: top + k * lineHeight, "text-anchor": anchor }, line)),
            svg("text", { class: "amount", x: at, y: top + lineHeight * lines.length, "text-anchor": anchor },
                this.amount(this.passed(item))));
    }

    /// What a place gave or took: sources what left them, others what reached them.
    private passed(item: Item): number {
        const sum = (flows: HeatFlow[]) => flows.reduce((total, flow) => total + this.value(flow), 0);
        if (this.placeOf(item.key).role === "source") return sum(item.right) - sum(item.left);
        if (this.placeOf(item.key).role === "end") return sum(item.left) - sum(item.right);
        const inward = (flows: HeatFlow[], sign: number) =>
            flows.reduce((total, flow) => total + Math.max(0, sign * this.value(flow)), 0);
        return inward(item.left, 1) + inward(item.right, -1);
    }

    private amount(joules: number): string {
        return `${this.formats.full(energy, joules, energyDecimals)}, ${this.share(joules)}`;
    }

    private share(joules: number): string {
        const total = this.total();
        const percent = (100 * joules) / total;
        return total > 0 ? `${numberText(percent, Math.abs(percent) < 9.95 ? 1 : 0)}\u00a0%` : "–";
    }

    /// Source and end as energy really went.
    private ends(flow: HeatFlow): [string, string] {
        const ends: [string, string] = [this.placeOf(flow.from).label, this.placeOf(flow.to).label];
        return this.value(flow) < 0 ? [ends[1], ends[0]] : ends;
    }

    private flowText(flow: HeatFlow): string {
        return `${this.ends(flow).join(" to ")}: ${this.amount(Math.abs(this.value(flow)))}. ${flow.doc}`;
    }

    private inWords(): HTMLElement {
        const rows = this.picture.flows.map((flow) => {
            const [from, to] = this.ends(flow);
            const size = Math.abs(this.value(flow));
            return h("tr", {},
                h("th", { scope: "row" }, `${from} \u2192\u00a0${to}`, h("span", { class: "below" }, flow.doc)),
                h("td", { class: "number" }, this.formats.text(energy, size, energyDecimals)),
                h("td", { class: "number" }, this.share(size)));
        });
        const head = ["from \u2192 to", this.formats.unit(energy), "of sources"];
        return h("table", {}, h("caption", {}, "The same in figures"),
            h("thead", {}, h("tr", {}, ...head.map((text) => h("th", { scope: "col" }, text)))),
            h("tbody", {}, ...rows));
    }
}

/// A label broken into lines that fit a column.
function linesOf(label: string, width: number): string[] {
    const most = Math.max(8, Math.floor(width / charWidth));
    const lines: string[] = [];
    for (const word of label.split(" ")) {
        const line = lines.at(-1);
        if (line !== undefined && line.length + 1 + word.length <= most) lines[lines.length - 1] = `${line} ${word}`;
        else lines.push(word);
    }
    return lines;
}

function outline(stretches: Stretch[], thick: number, x: (item: Item) => number): string {
    const first = stretches[0];
    let there = `M${x(first.from) + barWidth} ${first.start}`;
    let back = "";
    for (const s of stretches) {
        const [start, end] = [x(s.from) + barWidth, x(s.to)];
        const [a, b] = [start + (end - start) * bend.from, start + (end - start) * bend.to];
        const middle = (a + b) / 2;
        there += `H${a}C${middle} ${s.start} ${middle} ${s.end} ${b} ${s.end}H${end}`;
        back = `H${b}C${middle} ${s.end + thick} ${middle} ${s.start + thick} ${a} ${s.start + thick}${back}`;
    }
    const end = stretches[stretches.length - 1];
    return `${there}V${end.end + thick}${back}H${x(first.from) + barWidth}Z`;
}

/// A chevron where a band arrives, pointing the way that energy went.
function arrow(s: Stretch, thick: number, x: (item: Item) => number, backwards: boolean): SVGPathElement {
    const size = Math.min(6, Math.max(2.5, thick * 0.4)) * (backwards ? -1 : 1);
    return svg("path", {
        class: "arrow", d: `M${-size} ${-size}L0 0L${-size} ${size}`,
        transform: `translate(${x(s.to) - 8} ${s.end + thick / 2})`,
    });
}

/// Bands that run backwards are hatched.
function hatching(): SVGDefsElement {
    const size = { width: 6, height: 6 };
    const attributes = { id: "heat-hatching", patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)", ...size };
    return svg("defs", {}, svg("pattern", attributes, svg("rect", { class: "hatch-ground", ...size }),
        svg("line", { class: "hatch-line", x1: 0, y1: 0, x2: 0, y2: 6 })));
}
