/// Charts with a common cursor and zoom, shared by the pages.

import type uPlot from "uplot";

import { Plot, type Look } from "./curve_plot";
import type { Curve, UnitKey, Variant } from "./data";
import { h } from "./dom";
import { later } from "./later";
import { commonGrid, sweepsSpeed, Track, type Over } from "./series";
import type { Formats } from "./units";
import { swatch, type VariantStyle } from "./variants";

/// A variant with what it is drawn with.
export interface Run {
    variant: Pick<Variant, "name" | "title" | "failure" | "time" | "speed" | "curves">;
    style: VariantStyle;
}

const gridPlaces = 400;
const keyStep = 1 / 60; // of the window, for one press of an arrow key
const pause = 200; // ms without new runs

/// Charts that are read together: one cursor, one window over the axis, one axis.
export class PlotGroup {
    private readonly plots: Plot[] = [];
    private readonly spoken = h("p", { class: "unseen", role: "status" });
    private readonly listeners: (() => void)[] = [];
    private readonly dataListeners: (() => void)[] = [];
    private shownRuns: Run[] = [];
    private tracks: Track[] = [];
    private chosen: Over = "speed";
    private zoomed: [number, number] | null = null;
    private cursor: number | null = null;
    private resting: ReturnType<typeof setTimeout> | undefined;
    /// Places of the axis as shown, common to all plots.
    grid: number[] = [];
    /// Values (SI) by curve that its plot shows at least, so that the axis holds still while another thing is drawn.
    reach: Record<string, [number, number]> = {};
    printing = false;
    private darkScheme = false; // kept: to ask makes the browser bring its styles up to date

    constructor(readonly formats: Formats, private readonly speedUnit: UnitKey) {
        formats.onChange(() => this.refresh());
        const scheme = matchMedia("(prefers-color-scheme: dark)");
        this.darkScheme = scheme.matches;
        scheme.addEventListener("change", () => {
            this.darkScheme = scheme.matches;
            this.plots.forEach((p) => p.redraw());
        });
        addEventListener("beforeprint", () => this.print(true));
        addEventListener("afterprint", () => this.print(false));
        document.body.append(this.spoken);
    }

    /// Adds the plot of one curve, with the one that goes with it; put the returned figure into the page.
    add(curve: Curve, other: Curve | null = null, look: Look = {}): HTMLElement {
        const plot = new Plot(this, curve, other, look);
        this.plots.push(plot);
        plot.setRuns(this.runs, this.tracks);
        plot.setCursor(this.cursor);
        return plot.element;
    }

    /// The plot of a curve that was added.
    plot(curve: string): Plot | undefined {
        return this.plots.find((plot) => plot.curve.key === curve);
    }

    /// A line that says which letter and line is which run; it follows the data.
    key(): HTMLElement {
        const element = h("p", { class: "plot-names" });
        let shown = "";
        const fill = () => {
            const once = this.shownRuns.filter(({ style }, i, all) => all.findIndex((o) => o.style === style) === i);
            const wanted = once.map(({ variant, style }) => [style.index, variant.name, variant.title]).join();
            if (wanted === shown) return;
            shown = wanted;
            element.replaceChildren(...once.map(({ variant, style }) =>
                h("span", { style: `color: ${style.css}`, title: variant.title }, swatch(style, 24),
                    h("span", { class: "mark" }, style.mark), variant.name)));
        };
        this.dataListeners.push(fill);
        fill();
        return element;
    }

    /// Draws these runs in all plots; those that failed are left out. Cheap when the same styles come again.
    setData(runs: Run[]): void {
        this.shownRuns = runs.filter((run) => run.variant.failure === null && run.variant.speed.length > 0);
        if (!this.canUseSpeed) this.chosen = "time";
        this.dataListeners.forEach((listener) => listener());
        this.refresh();
    }

    get runs(): readonly Run[] {
        return this.shownRuns;
    }
    get over(): Over {
        return this.chosen;
    }
    /// False where no run sweeps the crank speed.
    get canUseSpeed(): boolean {
        return sweepsSpeed(this.shownRuns.map((run) => run.variant));
    }
    /// True where inks are to suit dark paper.
    get dark(): boolean {
        return this.darkScheme && !this.printing;
    }
    get isZoomed(): boolean {
        return this.zoomed !== null;
    }
    /// First and last place shown.
    get window(): [number, number] {
        return this.zoomed ?? [this.grid[0] ?? 0, this.grid[this.grid.length - 1] ?? 1];
    }

    /// Chooses what all curves are drawn over.
    setOver(over: Over): void {
        if (over === this.chosen || (over === "speed" && !this.canUseSpeed)) return;
        this.chosen = over;
        this.zoomed = this.cursor = null;
        this.refresh();
    }

    /// Shows a part of the axis in all plots.
    zoom(from: number, to: number): void {
        const [first, last] = [this.grid[0], this.grid[this.grid.length - 1]];
        if (!(to - from >= this.leastWindow(first, last))) return;
        const inside: [number, number] = [Math.max(from, first), Math.min(to, last)];
        this.zoomed = inside[0] <= first && inside[1] >= last ? null : inside;
        this.plots.forEach((plot) => plot.setWindow(this.window));
        this.changed();
    }

    /// Back to the whole pull.
    whole(): void {
        this.zoom(-Infinity, Infinity);
    }

    /// Moves the common cursor; null takes it away.
    setCursor(place: number | null, speaker: Plot | null = null): void {
        this.cursor = place;
        this.plots.forEach((plot) => plot.setCursor(place));
        if (speaker) this.spoken.textContent = speaker.spokenValues();
    }

    /// Arrow keys move the cursor, Home and End jump, + and − zoom about it, Escape and 0 end that.
    press(event: KeyboardEvent, plot: Plot): void {
        const [from, to] = this.window;
        const at = this.cursor ?? (event.key === "ArrowRight" ? from : to);
        const step = (to - from) * keyStep * (event.shiftKey ? 5 : 1);
        const within = (place: number) => Math.min(to, Math.max(from, place));
        const about = (factor: number) => this.zoom(at - (at - from) * factor, at + (to - at) * factor);
        const actions: Record<string, () => void> = {
            ArrowLeft: () => this.setCursor(within(at - step), plot),
            ArrowRight: () => this.setCursor(within(at + step), plot),
            Home: () => this.setCursor(from, plot),
            End: () => this.setCursor(to, plot),
            "+": () => about(1 / 2),
            "=": () => about(1 / 2),
            "-": () => about(2),
            "0": () => this.whole(),
            Escape: () => this.setCursor(null),
        };
        const action = event.ctrlKey || event.metaKey || event.altKey ? undefined : actions[event.key];
        if (!action) return;
        event.preventDefault();
        action();
    }

    /// Calls back after the axis or the window changed.
    onChange(listener: () => void): void {
        this.listeners.push(listener);
    }

    /// "engine speed, rpm"
    axisTitle(): string {
        return this.chosen === "speed" ? `engine speed, ${this.formats.unit(this.speedUnit)}` : "time, s";
    }
    /// A place of the axis in words: "4250 rpm".
    placeText(place: number): string {
        const [decimals, unit] = this.chosen === "speed" ? [0, this.formats.unit(this.speedUnit)] : [2, "s"];
        return `${place.toFixed(decimals)}\u00a0${unit}`;
    }
    /// The same as the head of a table's row.
    rowText(place: number): string {
        return place.toFixed(this.chosen === "time" ? 1 : 0);
    }
    /// Distance of the rows of a table of curves, as shown: rpm, s.
    rowStep(): number {
        return this.chosen === "time" ? 0.5 : 250;
    }
    /// Texts of the axis, and steps that suit them; null: plain numbers.
    axisTicks(): { texts: (places: number[], step: number) => string[]; steps: number[] } | null {
        return null;
    }
    /// Draws below the lines of a plot, and above them; sizes in pixels of the screen times k.
    drawUnder(_u: uPlot, _curve: Curve, _k: number): void {}
    drawOver(_u: uPlot, _curve: Curve, _k: number): void {}
    /// The axis of a run as shown.
    axisOf(run: Run): number[] {
        const { scale, offset } = this.formats.display(this.speedUnit);
        return this.chosen === "time" ? run.variant.time : run.variant.speed.map((si) => si * scale + offset);
    }

    /// Places that all lines are drawn through.
    protected gridOf(tracks: readonly Track[]): number[] {
        return commonGrid(tracks, gridPlaces);
    }

    /// What a zoom shows at least.
    protected leastWindow(first: number, last: number): number {
        return (last - first) / 100;
    }

    private refresh(): void {
        this.tracks = this.shownRuns.map((run) => new Track(this.axisOf(run)));
        this.grid = this.gridOf(this.tracks);
        this.plots.forEach((plot) => plot.setRuns(this.shownRuns, this.tracks));
        this.setCursor(this.cursor);
        this.changed();
        clearTimeout(this.resting);
        this.resting = setTimeout(() => this.plots.forEach((plot) => later(plot.catchUp)), pause);
    }

    private print(printing: boolean): void {
        this.printing = printing;
        this.plots.forEach((plot) => plot.rebuild());
    }

    private changed(): void {
        this.listeners.forEach((listener) => listener());
    }
}
