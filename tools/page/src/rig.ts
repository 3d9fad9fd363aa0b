/// The rig as a drawing: what the parts are, what runs between them, and their values at an instant of a pull.

import "./rig.css";

import type { Domain, Rig, RigComponent, Variant } from "./data";
import { h, scrolling, svg, uniqueId } from "./dom";
import { later } from "./later";
import { layOutRig, type Box, type RigLayout, type Wire } from "./rig_layout";
import type { Point } from "./rig_route";
import { connections, decimalsFor, docText, itemText, neighbour } from "./rig_text";
import type { Formats } from "./units";

export interface RigDrawing {
    element: HTMLElement;
    /// Shows the values at an instant (index into the variant's instants), in the units chosen by then.
    show(instant: number): void;
    /// Takes another run of the same rig; `show` brings its values.
    take(variant: Variant): void;
}

const printWidth = 680;
const lineHeight = 14;
const shortText = 9; // letters that fit every box
const mostSqueezed = 1.2; // natural width of a name over what it gets
const rounding = 4; // of corners of lines
const headReach = 5; // of an arrow beyond its line
const outsideRadius = 3;
const domainNames: Record<Domain, string> = {
    gas: "air and charge", coolant: "coolant", heat: "heat", shaft: "shaft", signal: "signal or reading",
};
const paintOrder: Domain[] = ["signal", "heat", "shaft", "coolant", "gas"];
type Kind = RigComponent["kind"];
const kindNames: Record<Kind, string> = {
    storage: "holds something", link: "moves something", watch: "looks or commands",
};
const corners: Record<Kind, number> = { storage: 14, link: 0, watch: 6 };

let chosen: string | null = null; // the component that was chosen last; the next drawing starts with it
const drawings = new WeakMap<Element, Drawing>();
if (typeof addEventListener === "function") {
    const all = () => [...document.querySelectorAll(".rig")].map((element) => drawings.get(element));
    addEventListener("beforeprint", () => all().forEach((drawing) => drawing?.resize(printWidth)));
    addEventListener("afterprint", () => all().forEach((drawing) => drawing?.resize()));
}

const layouts = new Map<string, RigLayout>();
const mostLayouts = 12;

/// The layout of a rig with these parts and connections; a live run changes only their values.
function remembered(rig: Rig, width: number): RigLayout {
    const key = JSON.stringify([width, rig.components.map((c) => [c.name, c.role, c.kind]), rig.edges]);
    const layout = layouts.get(key) ?? layOutRig(rig, width);
    layouts.delete(key);
    layouts.set(key, layout);
    if (layouts.size > mostLayouts) layouts.delete(layouts.keys().next().value!);
    return layout;
}

/// Makes the drawing of a variant's rig.
export function rigDrawing(rig: Rig, variant: Variant, formats: Formats): RigDrawing {
    return new Drawing(rig, variant, formats);
}

class Drawing implements RigDrawing {
    readonly element: HTMLElement;
    private readonly canvas = h("div", { class: "rig-canvas" });
    private readonly detail = h("div", { class: "rig-detail" });
    private readonly status = h("p", { class: "unseen", role: "status" });
    private readonly all = h("details", { class: "rig-all", ontoggle: () => this.fillAll() },
        h("summary", {}, "All values at this instant"));
    private readonly allTable = scrolling("All values at this instant");
    private readonly buttons = new Map<string, SVGGElement>();
    private decimals: number[][] = []; // by channel and system, filled when asked for
    private layout: RigLayout | null = null;
    private width = 0;
    private instant = 0;

    constructor(private readonly rig: Rig, private variant: Variant, private readonly formats: Formats) {
        this.all.append(this.allTable);
        this.element = h("figure", { class: "rig" }, this.canvas, legend(rig), this.status, this.detail, this.all);
        drawings.set(this.element, this);
        const fit = () => this.resize();
        new ResizeObserver(() => later(fit)).observe(this.canvas);
    }

    show(instant: number): void {
        this.instant = instant;
        this.update();
    }

    take(variant: Variant): void {
        this.variant = variant;
        this.decimals = [];
    }

    resize(width = this.canvas.clientWidth): void {
        if (width === this.width || width === 0) return;
        this.width = width;
        const focused = this.canvas.contains(document.activeElement);
        this.layout = remembered(this.rig, width);
        this.draw(this.layout, width);
        if (focused) this.buttons.get(this.current())?.focus();
    }

    /// The chosen component, where this rig has it.
    private chosen = (): RigComponent | undefined => this.rig.components.find((c) => c.name === chosen);
    private current = (): string => (this.chosen() ?? this.rig.components[0])?.name ?? "";

    // ---- picture ----

    private draw(layout: RigLayout, width: number): void {
        const scale = Math.min(1, width / layout.width);
        const hint = uniqueId("rig-hint");
        this.buttons.clear();
        for (const box of layout.boxes) this.buttons.set(box.component.name, this.button(box));
        const back = [...layout.wires].sort((a, b) => paintOrder.indexOf(a.domain) - paintOrder.indexOf(b.domain));
        const picture = svg("svg", {
            viewBox: `0 0 ${layout.width} ${layout.height}`, width: layout.width * scale, height: layout.height * scale,
            role: "toolbar", "aria-label": `The rig of ${this.variant.title}`, "aria-describedby": hint,
            onkeydown: (event) => this.key(event as KeyboardEvent),
        }, arrowheads(), svg("g", { "aria-hidden": true }, ...back.map(wire)), ...this.buttons.values());
        const keys = "Arrow keys go from part to part; Enter shows all values of a part.";
        this.canvas.replaceChildren(picture, h("p", { class: "unseen", id: hint }, keys));
        const names = [...picture.querySelectorAll<SVGTextElement>(".name")];
        shortenNames(names, this.textWidth() * mostSqueezed);
        narrow(names, this.textWidth());
        this.update();
    }

    private button(box: Box): SVGGElement {
        const { width, height } = box;
        const c = this.component(box.component.name); // a remembered box may know other channels
        const middle = width / 2;
        const values = this.inBox(c);
        const first = (height - lineHeight * (values.length + 1)) / 2 + 11;
        return svg("g", {
            class: `part ${c.kind}`, transform: `translate(${box.x} ${box.y})`, role: "button", tabindex: -1,
            onclick: () => this.choose(c.name), onfocus: () => this.pass(c.name),
        },
            svg("rect", { class: "body", width, height, rx: corners[c.kind] }, svg("title")),
            svg("text", { class: "name", x: middle, y: first }, c.name),
            ...values.flatMap((channel, k) =>
                [" ", svg("text", { x: middle, y: first + lineHeight * (k + 1), "data-channel": channel })]));
    }

    private textWidth = (): number => this.layout!.boxes[0].width - 6;

    private update(): void {
        const long: SVGTextElement[] = [];
        const at = this.current();
        const looks = new Set(this.rig.edges.filter((e) => !e.moves && e.to === chosen).map((e) => e.from));
        for (const [name, button] of this.buttons) {
            const component = this.component(name);
            const shown: number[] = [];
            for (const text of button.querySelectorAll<SVGTextElement>("[data-channel]")) {
                shown.push(Number(text.dataset.channel));
                text.textContent = this.value(Number(text.dataset.channel));
                text.removeAttribute("textLength");
                if (text.textContent.length > shortText) long.push(text);
            }
            const said = shown.map((k) => `${this.item(component, k)} ${this.value(k)}`).join(", ");
            button.querySelector("title")!.textContent = said;
            button.setAttribute("aria-label", [name, ...shown.map((k) => this.value(k))].join(" "));
            button.setAttribute("aria-description", said);
            button.setAttribute("aria-pressed", String(name === chosen));
            button.setAttribute("tabindex", name === at ? "0" : "-1");
            button.classList.toggle("looked-at", looks.has(name));
        }
        if (long.length > 0) narrow(long, this.textWidth());
        for (const line of this.canvas.querySelectorAll<SVGGElement>(".wire"))
            line.classList.toggle("near", line.dataset.from === chosen || line.dataset.to === chosen);
        this.detail.replaceChildren(...this.details());
        this.fillAll();
    }

    // ---- choosing ----

    private choose(name: string): void {
        chosen = chosen === name ? null : name;
        this.update();
        this.status.textContent = chosen === null ? "" : `The values of ${name} follow below the drawing.`;
    }

    /// The part that has the focus is where the Tab key comes back to.
    private pass(name: string): void {
        for (const [other, button] of this.buttons) button.setAttribute("tabindex", other === name ? "0" : "-1");
    }

    private key(event: KeyboardEvent): void {
        const name = [...this.buttons].find(([, button]) => button === document.activeElement)?.[0];
        if (name === undefined || event.altKey || event.ctrlKey || event.metaKey) return;
        if (event.key === "Enter" || event.key === " ") this.choose(name);
        else {
            const next = neighbour(this.layout!.boxes, name, event.key);
            if (next === null) return;
            this.buttons.get(next)!.focus();
        }
        event.preventDefault();
    }

    // ---- values ----

    private component = (name: string): RigComponent => this.rig.components.find((c) => c.name === name)!;
    private item = ({ name }: RigComponent, channel: number): string => itemText(name, this.rig.channels[channel].name);

    /// The first channel, and the next one that its unit tells from it.
    private inBox({ kind, channels }: RigComponent): number[] {
        if (kind === "watch") return channels.slice(0, 1);
        const unit = (channel: number) => this.formats.unit(this.rig.channels[channel].unit);
        const second = channels.slice(1).find((k) => unit(k) !== "" && unit(k) !== unit(channels[0]));
        return second === undefined ? channels.slice(0, 1) : [channels[0], second];
    }

    private value(channel: number): string {
        const si = this.variant.rig_values[channel]?.[this.instant];
        return this.formats.full(this.rig.channels[channel].unit, si, this.decimalsOf(channel));
    }

    /// From the largest value of the pull, so that digits do not come and go.
    private decimalsOf(channel: number): number {
        const bySystem = (this.decimals[channel] ??= []);
        const system = this.formats.system === "metric" ? 0 : 1;
        const size = (si: number | null) =>
            (si === null ? 0 : Math.abs(this.formats.shown(this.rig.channels[channel].unit, si)));
        return (bySystem[system] ??= decimalsFor((this.variant.rig_values[channel] ?? []).map(size)));
    }

    private details(): HTMLElement[] {
        const c = this.chosen();
        const hint = "Choose a part of the drawing for its values and what it is connected to.";
        if (!c) return [h("p", { class: "aside screen-only" }, hint)];
        const fact = ([what, names]: [string, string[]]) => [h("dt", {}, what), h("dd", {}, names.join(", "))];
        return [
            h("h4", {}, c.name), h("p", {}, h("span", { class: "model" }, c.model), ` ${c.summary}`),
            h("dl", { class: "facts" }, ...connections(this.rig, c.name).flatMap(fact)),
            ...(c.channels.length > 0 ? [scrolling(`Values of ${c.name}`, this.table([c]))] : []),
        ];
    }

    private fillAll(): void {
        if (this.all.open) this.allTable.replaceChildren(this.table(this.rig.components));
    }

    private table(components: RigComponent[]): HTMLTableElement {
        const several = components.length > 1;
        const column = (text: string) => h("th", { scope: "col" }, text);
        const rows = components.flatMap((c) => c.channels.map((k, i) => h("tr", {},
            several && i === 0 && h("th", { scope: "rowgroup", rowspan: c.channels.length }, c.name),
            h("th", { scope: "row" }, this.item(c, k)), h("td", { class: "number" }, this.value(k)),
            h("td", { class: "pale" }, docText(this.rig.channels[k].doc)))));
        return h("table", {},
            h("thead", {}, h("tr", {}, several && column("part"), column("quantity"), h("td"), column("what it is"))),
            h("tbody", {}, ...rows));
    }
}

/// Sets texts narrower that are too long for their boxes. All are measured before one is changed: the page is laid out
/// once.
function narrow(texts: SVGTextElement[], width: number): void {
    for (const text of texts.filter((text) => text.getComputedTextLength() > width)) {
        text.setAttribute("textLength", String(width));
        text.setAttribute("lengthAdjust", "spacingAndGlyphs");
    }
}

/// Cuts names that would have to be squeezed too much; the whole is in the label and in the table.
function shortenNames(texts: SVGTextElement[], width: number): void {
    const naturals = texts.map((text) => text.getComputedTextLength());
    texts.forEach((text, k) => {
        const name = text.textContent!;
        const most = Math.floor((name.length * width) / naturals[k]);
        if (naturals[k] > width) text.textContent = `${name.slice(0, most - 1)}…`;
    });
}

// ---- lines ----

function wire({ from, to, domain, outside, labels, points }: Wire): SVGGElement {
    const pointed = !outside && domain !== "signal";
    const d = rounded(pointed ? shortened(points, headReach) : points);
    const last = points[points.length - 1];
    const away = Math.sign(last.y - points[0].y) * outsideRadius; // short ends leave upright or level
    const what = labels.length > 0 ? ` (${labels.join(", ")})` : "";
    return svg("g", { class: `wire ${domain}`, "data-from": from, "data-to": to },
        svg("title", {}, `${domainNames[domain]}: ${from} to ${to}${what}`),
        svg("path", { class: "clear", d }),
        svg("path", { class: "line", d, "marker-end": outside ? null : `url(#rig-${domain})` }),
        outside && svg("circle", { class: "outside", cx: last.x, cy: last.y + away, r: outsideRadius }));
}

/// A line that ends earlier, so that its width does not blunt the arrow's point.
function shortened(points: Point[], by: number): Point[] {
    const [before, last] = points.slice(-2);
    const end = { x: last.x - Math.sign(last.x - before.x) * by, y: last.y - Math.sign(last.y - before.y) * by };
    return [...points.slice(0, -1), end];
}

/// A line with rounded corners.
function rounded(points: Point[]): string {
    const towards = (a: Point, b: Point): Point => {
        const length = Math.hypot(b.x - a.x, b.y - a.y);
        const part = Math.min(rounding, length / 2) / length;
        return { x: a.x + (b.x - a.x) * part, y: a.y + (b.y - a.y) * part };
    };
    return points.reduce((path, p, k) => {
        if (k === 0) return `M${p.x} ${p.y}`;
        if (k === points.length - 1) return `${path}L${p.x} ${p.y}`;
        const [a, b] = [towards(p, points[k - 1]), towards(p, points[k + 1])];
        return `${path}L${a.x} ${a.y}Q${p.x} ${p.y} ${b.x} ${b.y}`;
    }, "");
}

function arrowheads(): SVGDefsElement {
    const head = (domain: Domain) => {
        const open = domain === "signal";
        const size = domain === "shaft" ? 10 : 7;
        return svg("marker", {
            id: `rig-${domain}`, class: domain, viewBox: "0 0 8 8",
            refX: open ? 8 : 8 - (headReach * 8) / size, refY: 4,
            markerWidth: size, markerHeight: size, markerUnits: "userSpaceOnUse", orient: "auto",
        }, svg("path", { d: open ? "M1 1L8 4L1 7" : "M0 0.5L8 4L0 7.5Z" }));
    };
    return svg("defs", {}, ...paintOrder.map(head));
}

/// What lines and outlines mean, of what the rig has.
function legend(rig: Rig): HTMLElement {
    const drawn = (domain: Domain) => rig.edges.some((e) => e.domain === domain && (e.moves || domain === "signal"));
    const domains = paintOrder.filter(drawn).reverse();
    const sample = (content: SVGElement, text: string) =>
        h("li", {}, svg("svg", { width: 34, height: 14, "aria-hidden": true }, content), text);
    const stroke = (d: string) => svg("path", { class: "line", d });
    const line = (domain: Domain) => svg("g", { class: `wire ${domain}` }, stroke("M1 7H33"));
    const shape = (kind: Kind) => svg("g", { class: `part ${kind}` },
        svg("rect", { class: "body", x: 6, y: 1, width: 22, height: 12, rx: corners[kind] / 2.4 }));
    const outside = svg("g", { class: "wire heat" }, stroke("M4 7H22"),
        svg("circle", { class: "outside", cx: 26, cy: 7, r: outsideRadius }));
    const kinds = (["storage", "link", "watch"] as const).filter((kind) => rig.components.some((c) => c.kind === kind));
    return h("ul", { class: "rig-legend" }, ...domains.map((d) => sample(line(d), domainNames[d])),
        sample(outside, "heat to outside air"), ...kinds.map((kind) => sample(shape(kind), kindNames[kind])));
}
