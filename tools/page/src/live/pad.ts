/// The sheet over a plot that the reader draws on.

import type { Curve, Page } from "../data";
import { h } from "../dom";
import type { Plot } from "../curve_plot";
import type { PlotGroup } from "../plot";
import type { Formats } from "../units";
import { handleColumns, type Sketch } from "./sketch";

const handleCount = 7;

export interface PadOptions {
    page: Page;
    formats: Formats;
    group: PlotGroup;
}

/// Lies over a plot and takes strokes and keys.
export class Pad {
    readonly element = h("div", { class: "sketch-pad", role: "group", "aria-label": "Handles of your sketch" });
    private plot: Plot | null = null;
    private sketch!: Sketch;
    private reach!: [number, number];
    private curve!: Curve;
    private columns: number[] = [];
    private handles: HTMLElement[] = [];
    private last: [number, number] | null = null;
    private placing = 0;

    constructor(private readonly options: PadOptions, private readonly drew: () => void) {
        this.element.addEventListener("pointerdown", (event) => this.press(event));
        this.element.addEventListener("pointermove", (event) => this.move(event));
        for (const end of ["pointerup", "pointercancel"]) this.element.addEventListener(end, () => (this.last = null));
        new ResizeObserver(() => this.place()).observe(this.element);
    }

    set active(active: boolean) {
        this.element.hidden = !active;
        this.place();
    }

    open(plot: Plot, sketch: Sketch, reach: [number, number], curve: Curve): void {
        Object.assign(this, { plot, sketch, reach, curve });
        const over = this.options.group.canUseSpeed ? "speed" : "time";
        const columns = new Set(handleColumns(sketch, over, handleCount));
        this.columns = [...columns].filter((column) => sketch.ghost.values[column] !== null);
        this.handles = this.columns.map((_, which) => h("div", {
            class: "sketch-handle", role: "slider", tabindex: 0, "aria-orientation": "vertical",
            onkeydown: (event) => this.key(event as KeyboardEvent, which),
        }));
        this.element.replaceChildren(...this.handles);
        this.place();
    }
    close(): void {
        this.plot = null;
        this.last = null;
        this.element.remove();
    }

    /// Puts pad and handles where the plot has them, in the next frame.
    place(): void {
        cancelAnimationFrame(this.placing);
        if (this.plot) this.placing = requestAnimationFrame(() => this.placeNow());
    }
    private placeNow(): void {
        if (!this.plot || this.element.hidden) return;
        const { box } = this.plot;
        Object.assign(this.element.style, {
            left: `${box.offsetLeft}px`, top: `${box.offsetTop}px`,
            width: `${box.offsetWidth}px`, height: `${box.offsetHeight}px`,
        });
        const own = box.getBoundingClientRect();
        const spots = this.columns.map((column) => this.plot!.onScreen(this.placeOf(column), this.valueAt(column)));
        spots.forEach((spot, i) => {
            if (!spot) return;
            this.handles[i].style.transform = `translate(${spot.clientX - own.left}px, ${spot.clientY - own.top}px)`;
            this.tell(i);
        });
    }

    private tell(which: number): void {
        const { formats, group, page } = this.options;
        const column = this.columns[which];
        const shown = (si: number) => formats.shown(this.curve.unit, si).toFixed(Math.max(0, this.curve.decimals));
        const value = this.valueAt(column);
        const at = group.canUseSpeed
            ? formats.full(page.speed_unit, this.sketch.ghost.speed[column], 0)
            : `${this.sketch.ghost.time[column].toFixed(1)} s`;
        const attributes = {
            "aria-label": `${this.curve.label} at ${at}`,
            "aria-valuemin": shown(this.reach[0]), "aria-valuemax": shown(this.reach[1]), "aria-valuenow": shown(value),
            "aria-valuetext": formats.full(this.curve.unit, value, this.curve.decimals),
        };
        for (const [name, text] of Object.entries(attributes)) this.handles[which].setAttribute(name, text);
    }

    private valueAt(column: number): number {
        return this.sketch.values[column] ?? this.sketch.ghost.values[column]!;
    }
    private placeOf(column: number): number {
        const { formats, group, page } = this.options;
        const { speed, time } = this.sketch.ghost;
        return group.over === "speed" ? formats.shown(page.speed_unit, speed[column]) : time[column];
    }
    private within(si: number): number {
        return Math.min(this.reach[1], Math.max(this.reach[0], si));
    }

    private point(event: PointerEvent): [number, number] | null {
        const { formats, group, page } = this.options;
        const under = this.plot?.under(event.clientX, event.clientY);
        if (!under) return null;
        return [group.over === "speed" ? formats.si(page.speed_unit, under.place) : under.place, this.within(under.si)];
    }
    private press(event: PointerEvent): void {
        if (event.button !== 0 || !event.isPrimary) return;
        event.preventDefault();
        this.element.setPointerCapture(event.pointerId);
        this.last = this.point(event);
        if (this.last) this.stroke(this.last, this.last);
    }
    private move(event: PointerEvent): void {
        if (!this.last || !event.isPrimary) return;
        for (const piece of event.getCoalescedEvents().concat(event)) {
            const to = this.point(piece);
            if (!to) continue;
            this.sketch.stroke(this.options.group.over, this.last, to);
            this.last = to;
        }
        this.drew();
    }
    private stroke(from: [number, number], to: [number, number]): void {
        this.sketch.stroke(this.options.group.over, from, to);
        this.drew();
    }

    /// One press is a hundredth of the reach, with Shift or Page keys a twentieth.
    private key(event: KeyboardEvent, which: number): void {
        const small = (this.reach[1] - this.reach[0]) / 100;
        const value = this.valueAt(this.columns[which]);
        const arrow = event.shiftKey ? 5 * small : small;
        const moves: Record<string, number> = {
            ArrowUp: value + arrow, ArrowRight: value + arrow, ArrowDown: value - arrow, ArrowLeft: value - arrow,
            PageUp: value + 5 * small, PageDown: value - 5 * small, Home: this.reach[0], End: this.reach[1],
        };
        const to = event.ctrlKey || event.metaKey || event.altKey ? undefined : moves[event.key];
        if (to === undefined) return;
        event.preventDefault();
        this.sketch.move(this.options.group.over, this.columns, which, this.within(to));
        this.tell(which);
        this.drew();
    }
}
