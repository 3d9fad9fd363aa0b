/// All combinations as marks, one number against another: which nothing beats, and what more money buys.

import type { Choices, Measure } from "./choice_model";
import { shareText } from "./choice_model";
import { placeLabels, scaleOver, type Scale } from "./choice_scale";
import { tag } from "./choice_tables";
import { h, scrolling, svg } from "./dom";
import { missing } from "./figures";
import { switchOf } from "./report";
import { numberText } from "./units";
import { pointShape } from "./variants";

type Scope = "all" | "eligible";
const margin = { left: 56, right: 18, top: 14, bottom: 40 };
const labelHeight = 16;

/// The picture with its choices, its read-out and its table.
export class Picture {
    readonly element: HTMLElement;
    private readonly drawing = svg("svg", { class: "marks", role: "img" });
    private readonly readout = h("div", { class: "readout", "aria-live": "polite" });
    private across: Measure;
    private up: Measure;
    private size: Measure | null = null;
    private scope: Scope = "all";
    private width = 0;
    private places: ({ x: number; y: number } | null)[] = [];
    private chosen = -1;
    private readonly ring = svg("circle", { class: "ring", r: 9 });
    private readonly height = 430;

    constructor(private readonly model: Choices) {
        const { measures } = model;
        this.up = model.lead;
        this.across = model.price ?? measures.find((one) => one !== this.up) ?? this.up;
        const stage = h("div", {
            class: "stage", tabindex: 0, role: "group",
            "aria-label": "All combinations; arrow keys go through marks that have a name or lie on the way upwards, " +
                "with Shift through all",
        }, this.drawing);
        this.listen(stage);
        const pick = (title: string, chosen: Measure | null, none: boolean,
            choose: (measure: Measure | null) => void) => {
            const options = [...(none ? [null] : []), ...measures];
            const select = h("select", { "aria-label": title }, ...options.map((one, value) =>
                h("option", { value, selected: one === chosen }, one?.title ?? "all alike")));
            select.addEventListener("change", () => {
                choose(options[select.selectedIndex]);
                this.draw();
            });
            return h("label", { class: "picker" }, h("span", {}, title), select);
        };
        const scopes = { all: "all", eligible: "those that grant every wish" };
        this.element = h("div", { class: "choice-picture" },
            h("div", { class: "picture-controls screen-only" },
                pick("Across", this.across, false, (one) => (this.across = one!)),
                pick("Up", this.up, false, (one) => (this.up = one!)),
                pick("Size of marks", null, true, (one) => (this.size = one)),
                model.page.combinations.eligible.includes(1) &&
                    switchOf<Scope>("Shown", scopes, this.scope, (scope) => {
                        this.scope = scope;
                        this.draw();
                    })),
            markKey(), stage, this.readout, this.table());
        new ResizeObserver(([{ contentRect }]) => {
            if (Math.abs(contentRect.width - this.width) < 1) return;
            this.width = contentRect.width;
            this.draw();
        }).observe(stage);
        model.formats.onChange(() => this.draw());
    }

    private shown(k: number): boolean {
        const named = this.model.name(k) !== null;
        return this.scope === "all" || named || this.model.page.combinations.eligible[k] === 1;
    }

    private value(measure: Measure, k: number): number | null {
        const si = measure.values[k];
        return si === null ? null : this.model.formats.shown(measure.unit, si);
    }

    private draw(): void {
        const { model, across, up, width, height } = this;
        if (width < 50) return;
        const all = Array.from({ length: model.count }, (_, k) => k).filter((k) => this.shown(k));
        const values = (measure: Measure) => all.map((k) => this.value(measure, k)).filter((one) => one !== null);
        const x = scaleOver(values(across), [margin.left, width - margin.right], width / 110);
        const y = scaleOver(values(up), [height - margin.bottom, margin.top], 7);
        this.places = Array.from({ length: model.count }, (_, k) => {
            const [a, b] = [this.value(across, k), this.value(up, k)];
            return a === null || b === null || !this.shown(k) ? null : { x: x.place(a), y: y.place(b) };
        });
        this.drawing.setAttribute("viewBox", `0 0 ${width} ${height}`);
        this.drawing.setAttribute("aria-label", this.summary());
        this.drawing.replaceChildren(...this.limits(x, y), ...this.axes(x, y), this.marks(), this.way(), this.front(),
            this.names(), this.ring);
        const first = model.page.furthest[0]?.to ?? (model.named[1] ?? model.named[0]).combination;
        this.select(this.chosen < 0 || !this.places[this.chosen] ? first : this.chosen);
    }

    private summary(): string {
        const { page } = this.model;
        const eligible = page.combinations.eligible.reduce<number>((sum, one) => sum + one, 0);
        return `${this.up.title} over ${this.across.title} of ${this.model.count} combinations, ${eligible} of which ` +
            `grant every wish; ${page.front.length} are beaten by no other in all that is preferred`;
    }

    private axes(x: Scale, y: Scale): Element[] {
        const { width, height } = this;
        const bottom = height - margin.bottom;
        return [
            ...y.ticks.map((value) => svg("g", {},
                svg("line", {
                    class: "grid", x1: margin.left, x2: width - margin.right, y1: y.place(value), y2: y.place(value),
                }),
                svg("text", { x: margin.left - 7, y: y.place(value) + 4, "text-anchor": "end" },
                    numberText(value, y.decimals)))),
            ...x.ticks.map((value) => svg("g", {},
                svg("line", { class: "tick", x1: x.place(value), x2: x.place(value), y1: bottom, y2: bottom + 4 }),
                svg("text", { x: x.place(value), y: bottom + 17, "text-anchor": "middle" },
                    numberText(value, x.decimals)))),
            svg("line", { class: "axis", x1: margin.left, x2: width - margin.right, y1: bottom, y2: bottom }),
            svg("text", { class: "axis-title", x: width - margin.right, y: height - 5, "text-anchor": "end" },
                this.model.heading(this.across)),
            svg("text", { class: "axis-title", x: margin.left + 6, y: margin.top + 4 }, this.model.heading(this.up)),
        ];
    }

    /// What lies beyond a wish's limit is shaded.
    private limits(x: Scale, y: Scale): Element[] {
        const { width, height, model: { formats } } = this;
        const [left, right, top, bottom] = [margin.left, width - margin.right, margin.top, height - margin.bottom];
        const inside = (scale: Scale, measure: Measure, si: number): number | null => {
            const value = formats.shown(measure.unit, si);
            return value > scale.from && value < scale.to ? scale.place(value) : null;
        };
        const drawn: Element[] = [];
        for (const [measure, scale, flat] of [[this.across, x, true], [this.up, y, false]] as const)
            for (const key of ["at_least", "at_most"] as const) {
                const si = measure.wish?.[key] ?? null;
                const at = si === null ? null : inside(scale, measure, si);
                if (at === null) continue;
                const low = key === "at_least";
                const box = flat ? [low ? left : at, top, low ? at - left : right - at, bottom - top]
                    : [left, low ? at : top, right - left, low ? bottom - at : at - top];
                drawn.push(svg("rect", { class: "beyond", x: box[0], y: box[1], width: box[2], height: box[3] }),
                    flat ? svg("line", { class: "limit", x1: at, x2: at, y1: top, y2: bottom })
                        : svg("line", { class: "limit", x1: left, x2: right, y1: at, y2: at }),
                    svg("text", { class: "limit-text", x: flat ? at - 5 : right - 3,
                        y: flat ? bottom - 7 : at + (low ? 14 : -5), "text-anchor": "end" },
                        `${key.replace("_", " ")} ${formats.full(measure.unit, si, measure.decimals)}`));
            }
        return drawn;
    }

    private marks(): Element {
        const { eligible } = this.model.page.combinations;
        const radius = this.radii();
        const order = this.places.flatMap((place, k) => (place ? k : [])).sort((a, b) => eligible[a] - eligible[b]);
        return svg("g", { class: "all-marks" }, ...order.map((k) => svg("circle", {
            class: eligible[k] ? "eligible" : "refused", cx: this.places[k]!.x.toFixed(1),
                cy: this.places[k]!.y.toFixed(1), r: radius(k), "data-k": k,
        })));
    }

    /// Areas grow with the third number, from its worst to its best.
    private radii(): (k: number) => string {
        const measure = this.size;
        const { eligible } = this.model.page.combinations;
        if (!measure) return (k) => (eligible[k] ? "2.6" : "2");
        const values = this.places.flatMap((place, k) => (place ? measure.values[k] ?? [] : []));
        const [low, high] = [Math.min(...values), Math.max(...values)];
        return (k) => {
            const share = ((measure.values[k] ?? low) - low) / (high - low || 1);
            return Math.sqrt(1.2 + 28 * (measure.less ? 1 - share : share)).toFixed(2);
        };
    }

    /// What more money buys, as a staircase: where price and the leading wish are the axes.
    private way(): Element {
        const { money, furthest } = this.model.page;
        const group = svg("g", { class: "way" });
        if (this.across !== this.model.price || this.up !== this.model.lead || money.length === 0) return group;
        const at = (k: number) => this.places[k]!;
        let path = `M${at(money[0].from).x} ${at(money[0].from).y}`;
        for (const { to } of money) path += `H${at(to).x.toFixed(1)}V${at(to).y.toFixed(1)}`;
        group.append(svg("path", { class: "stairs", d: `${path}H${this.width - margin.right}` }));
        for (const { to } of [{ to: furthest[0].from }, ...furthest])
            group.append(svg("rect", { class: "stage-mark", x: at(to).x - 5.5, y: at(to).y - 5.5, width: 11, height: 11,
                "data-k": to }));
        return group;
    }

    private front(): Element {
        return svg("g", { class: "front" }, ...this.model.page.front.flatMap((k) => {
            const place = this.places[k];
            return place ? svg("path", { d: "M0-5L5 0L0 5L-5 0Z",
                transform: `translate(${place.x.toFixed(1)} ${place.y.toFixed(1)})`, "data-k": k }) : [];
        }));
    }

    private names(): Element {
        const all = this.model.named.flatMap((one) => {
            const place = this.places[one.combination];
            const label = this.width < 500 && one.combination === 0 ? "as is" : one.label;
            return place ? { ...one, ...place, label, width: 7.5 * label.length + 3 } : [];
        });
        const { money } = this.model.page;
        const others = [...new Set(money.flatMap(({ from, to }) => [from, to]))].flatMap((k) => this.places[k] ?? []);
        const labels = placeLabels(all, labelHeight,
            { x: margin.left, y: margin.top + 8, width: this.width - margin.left - margin.right,
                height: this.height - margin.top - margin.bottom - 8 }, others);
        return svg("g", { class: "names" }, ...all.flatMap(({ x, y, label, style, combination }, k) => {
            const box = labels[k];
            return [
                ...(box.away ? [svg("line", { class: "lead-line", x1: x, y1: y, x2: box.x + box.width / 2,
                    y2: box.y + box.height / 2 })] : []),
                svg("path", { class: "named", d: pointShape(style),
                    transform: `translate(${x.toFixed(1)} ${y.toFixed(1)}) scale(1.9)`,
                    style: `stroke: ${style.css}; fill: ${style.css}`, "data-k": combination }),
                svg("text", { class: "name", x: box.x + box.width / 2, y: box.y + 12, "text-anchor": "middle",
                    style: `fill: ${style.css}` }, label),
            ];
        }));
    }

    private listen(stage: HTMLElement): void {
        const near = (event: PointerEvent) => {
            const box = this.drawing.getBoundingClientRect();
            const factor = this.width / box.width;
            const [x, y] = [(event.clientX - box.left) * factor, (event.clientY - box.top) * factor];
            let best = -1, least = 26 ** 2;
            this.places.forEach((place, k) => {
                if (!place) return;
                const away = (place.x - x) ** 2 + (place.y - y) ** 2 - (this.model.name(k) ? 30 : 0);
                if (away < least) [best, least] = [k, away];
            });
            if (best >= 0) this.select(best);
        };
        stage.addEventListener("pointermove", near);
        stage.addEventListener("pointerdown", near);
        stage.addEventListener("keydown", (event) => {
            const order = this.order(event.shiftKey);
            const now = order.indexOf(this.chosen);
            const by = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1 }[event.key];
            let next = event.key === "Home" ? 0 : event.key === "End" ? order.length - 1 : -1;
            if (by !== undefined) next = now < 0 ? this.nearest(order)
                : Math.min(order.length - 1, Math.max(0, now + by));
            if (next < 0 || order.length === 0) return;
            event.preventDefault();
            this.select(order[next]);
        });
    }

    /// Marks from left to right: those with a name, of the front and of the way upwards, or all.
    private order(all: boolean): number[] {
        const { front, money } = this.model.page;
        const told = new Set([...this.model.named.map(({ combination }) => combination), ...front,
            ...money.flatMap(({ from, to }) => [from, to])]);
        return this.places.flatMap((place, k) => (place && (all || told.has(k)) ? k : []))
            .sort((a, b) => this.places[a]!.x - this.places[b]!.x || this.places[b]!.y - this.places[a]!.y);
    }

    private nearest(order: readonly number[]): number {
        const x = this.places[this.chosen]?.x ?? 0;
        return order.reduce((best, k, at) =>
            (Math.abs(this.places[k]!.x - x) < Math.abs(this.places[order[best]]!.x - x) ? at : best), 0);
    }

    private select(k: number): void {
        const place = this.places[k];
        this.chosen = k;
        this.ring.setAttribute("visibility", place ? "visible" : "hidden");
        if (place) for (const [name, value] of [["cx", place.x], ["cy", place.y]] as const) this.ring.setAttribute(name,
            value.toFixed(1));
        this.readout.replaceChildren(...this.told(k));
    }

    private told(k: number): Node[] {
        const { model } = this;
        const { page } = model;
        const named = model.name(k);
        const failure = model.failure(k);
        const broken = model.broken(k);
        const verdict = failure !== null ? `could not be run: ${failure}`
            : broken.length > 0 ? `does not grant: ${broken.join(", ")}`
                : page.front.includes(k) ? "grants every wish; beaten by no other in all that is preferred"
                    : "grants every wish";
        const facts = model.measures.map((measure) => {
            const difference = measure.unit === "money" ? null : model.difference(measure, k);
            const share = measure.wish && (measure.wish.at_least !== null || measure.wish.at_most !== null) &&
                !measure.wish.price
                ? page.combinations.wishes[page.wishes.indexOf(measure.wish)].share[k] : null;
            return h("span", { class: "fact" }, h("span", { class: "pale" }, `${measure.title} `),
                h("b", {}, model.full(measure, k, measure.values)),
                    difference !== null && h("span", { class: "pale" }, ` (${difference})`),
                share !== null && h("span", { class: "pale" }, `, kept in ${shareText(share)}`));
        });
        return [
            h("p", { class: "who" }, named && named.combination !== 0 ? tag(named) : null,
                h("strong", {}, model.told(k)), h("span", { class: "pale" }, ` \u2014 ${verdict}`)),
            h("p", { class: "facts-line" }, ...facts),
        ];
    }

    /// All combinations in figures, made when it is opened.
    private table(): HTMLElement {
        const region = scrolling("Combinations in figures");
        const drawer = h("details", { class: "data" },
            h("summary", {}, `All ${this.model.count} combinations in figures`), region);
        let made = "";
        const fill = () => {
            if (!drawer.open || made === this.model.formats.system) return;
            made = this.model.formats.system;
            region.replaceChildren(this.figures());
        };
        drawer.addEventListener("toggle", fill);
        this.model.formats.onChange(fill);
        return drawer;
    }

    private figures(): HTMLTableElement {
        const { model } = this;
        const { measures, formats, page } = model;
        const head = (text: string, name: string | null = null) => h("th", { scope: "col", class: name }, text);
        const row = (_: unknown, k: number) => {
            const broken = model.broken(k);
            return h("tr", {}, h("th", { scope: "row" }, String(k)),
                ...page.bought.map((__, axis) => h("td", {}, model.part(axis, k))),
                ...measures.map(({ unit, decimals, values }) =>
                    h("td", { class: "number" }, values[k] === null ? missing("not known")
                        : formats.text(unit, values[k], decimals))),
                h("td", {}, model.failure(k) !== null ? "could not be run" : broken.length > 0 ? broken.join(", ")
                    : "none"));
        };
        return h("table", { class: "all-combinations" }, h("caption", { class: "unseen" }, "All combinations"),
            h("thead", {}, h("tr", {}, head("no."), ...page.bought.map(({ title }) => head(title)),
                ...measures.map((one) => head(model.heading(one), "number")), head("breaks the wish"))),
            h("tbody", {}, ...page.combinations.price.map(row)));
    }
}

/// What the marks are.
function markKey(): HTMLElement {
    const piece = (text: string, ...content: Element[]) => h("span", {},
        svg("svg", { class: "marks", width: 22, height: 14, viewBox: "-11 -7 22 14", "aria-hidden": "true" },
            ...content), text);
    return h("p", { class: "picture-key aside" },
        piece("grants every wish", svg("circle", { class: "eligible", r: 2.6 })),
            piece("breaks one", svg("circle", { class: "refused", r: 2 })),
        piece("beaten by no other", svg("g", { class: "front" }, svg("path", { d: "M0-5L5 0L0 5L-5 0Z" }))),
        piece("most for the money", svg("rect", { class: "stage-mark", x: -5.5, y: -5.5, width: 11, height: 11 })),
        piece("what more money buys", svg("path", { class: "stairs", d: "M-11 5H-2V-4H11" })),
        h("span", {}, h("b", {}, "1, 2, \u2026 "), "the shortlist"));
}

/// The section's content.
export const picture = (model: Choices): HTMLElement[] => [new Picture(model).element];
