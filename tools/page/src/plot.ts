/// Charts with a common cursor and zoom, shared by the report and the live page.

import uPlot from "uplot";
import "uplot/dist/uPlot.min.css";
import "./plot.css";

import type { Curve, UnitKey, Variant } from "./data";
import { h, uniqueId } from "./dom";
import { later } from "./later";
import { plotOptions, printScale } from "./plot_options";
import { commonGrid, landmarks, sweepsSpeed, Track, type Over } from "./series";
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
const printWidth = 330; // CSS pixels; style sheets fit it to the column

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

    /// Adds the plot of one curve; put the returned figure into the page.
    add(curve: Curve): HTMLElement {
        const plot = new Plot(this, curve);
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
            const wanted = this.shownRuns.map(({ variant, style }) => [style.index, variant.name, variant.title]).join();
            if (wanted === shown) return;
            shown = wanted;
            element.replaceChildren(...this.shownRuns.map(({ variant, style }) =>
                h("span", { style: `color: ${style.css}`, title: variant.title }, swatch(style, 24),
                    h("span", { class: "mark" }, style.mark), variant.name)));
        };
        this.dataListeners.push(fill);
        fill();
        return element;
    }

    /// Draws these runs in all plots; those that failed are left out. Cheap when the same styles come again.
    setData(runs: Run[]): void {
        this.shownRuns = runs.filter((run) => run.variant.failure === null && run.variant.time.length > 0);
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
        const least = (last - first) / 100;
        if (!(to - from >= least)) return;
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
    /// The axis of a run as shown.
    axisOf(run: Run): number[] {
        const { scale, offset } = this.formats.display(this.speedUnit);
        return this.chosen === "time" ? run.variant.time : run.variant.speed.map((si) => si * scale + offset);
    }

    private refresh(): void {
        this.tracks = this.shownRuns.map((run) => new Track(this.axisOf(run)));
        this.grid = commonGrid(this.tracks, gridPlaces);
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

/// One curve with one line a run.
export class Plot {
    readonly element: HTMLElement;
    readonly box = h("div", { class: "plot-box", role: "img", tabindex: 0 });
    private readonly unit = h("span", { class: "plot-unit" });
    private readonly legend = h("p", { class: "plot-legend" });
    private values: HTMLElement[] = [];
    private longest = 0; // of the values' texts so far
    private where = h("span", { class: "plot-where" });
    private chart: uPlot | null = null;
    private runs: Run[] = [];
    private tracks: Track[] = [];
    private place: number | null = null;
    private width = 0;
    private inSight = false;
    private behind = true; // the lines are older than the runs

    constructor(private readonly group: PlotGroup, readonly curve: Curve) {
        const title = uniqueId("plot");
        this.element = h("figure", { class: "plot", "aria-labelledby": title },
            h("figcaption", {},
                h("p", { class: "plot-title" }, h("span", { id: title }, curve.label), this.unit),
                h("p", { class: "plot-doc" }, curve.doc), this.legend),
            this.box);
        this.box.addEventListener("keydown", (event) => group.press(event, this));
        this.box.addEventListener("blur", () => group.setCursor(null));
        new ResizeObserver(([entry]) => this.resize(entry.contentRect.width)).observe(this.box);
        new IntersectionObserver(([entry]) => this.seen(entry.isIntersecting)).observe(this.box);
    }

    private seen(inSight: boolean): void {
        this.inSight = inSight;
        if (inSight) this.bringLines();
    }

    /// Draws the runs that have this curve.
    setRuns(runs: readonly Run[], tracks: readonly Track[]): void {
        const before = this.runs.map((run) => run.style.index).join();
        const has = runs.map((run) => Boolean(run.variant.curves[this.curve.key]));
        this.behind = true;
        this.runs = runs.filter((_, i) => has[i]);
        this.tracks = tracks.filter((_, i) => has[i]);
        const unit = this.group.formats.unit(this.curve.unit);
        say(this.unit, unit ? `, ${unit}` : "");
        this.element.classList.toggle("empty", this.runs.length === 0);
        if (before !== this.runs.map((run) => run.style.index).join()) {
            this.fillLegend();
            if (this.chart || this.inSight) this.rebuild();
        } else if (this.inSight) {
            this.bringLines();
        }
    }

    /// Brings the lines to the runs.
    private bringLines(): void {
        if (!this.behind) return;
        if (!this.chart) return this.rebuild();
        this.behind = false;
        this.chart.batch(() => this.chart!.setData(this.data()));
        this.setWindow(this.group.window);
    }

    /// What can wait while new runs come in quickly: lines out of sight, and the chart in words.
    readonly catchUp = (): void => {
        this.bringLines();
        this.box.setAttribute("aria-label", this.description());
    };

    /// Makes the chart anew, for other lines or for paper.
    rebuild(): void {
        this.chart?.destroy();
        this.chart = null;
        const width = this.group.printing ? printWidth : this.width;
        if (width === 0 || this.runs.length === 0 || this.group.grid.length === 0) return;
        const options = plotOptions({
            group: this.group, curve: this.curve, styles: this.runs.map((run) => run.style),
            width, height: heightFor(width), scale: this.group.printing ? printScale : 1,
        });
        this.chart = new uPlot(options, this.data(), this.box);
        this.behind = false;
        if (this.place !== null) this.setCursor(this.place);
    }

    redraw(): void {
        this.chart?.redraw(false);
    }

    setWindow([min, max]: [number, number]): void {
        const x = this.chart?.scales.x;
        if (!x || (x.min === min && x.max === max)) return;
        this.chart!.batch(() => this.chart!.setScale("x", { min, max }));
        this.setCursor(this.place);
    }

    /// Shows the cursor at a place of the axis.
    setCursor(place: number | null): void {
        this.place = place;
        this.showValues();
        if (!this.chart) return;
        const [from, to] = this.group.window;
        const inside = place !== null && place >= from && place <= to;
        const left = inside ? this.chart.valToPos(place, "x") : -10;
        this.chart.setCursor({ left, top: inside ? 1 : -10 }, false);
    }

    /// Place and SI value under a point of the screen; beyond the edges, those of the edge.
    under(clientX: number, clientY: number): { place: number; si: number } | null {
        if (!this.chart) return null;
        const { left, top, width, height } = this.chart.over.getBoundingClientRect();
        const within = (at: number, size: number) => Math.min(size, Math.max(0, at));
        return {
            place: this.chart.posToVal(within(clientX - left, width), "x"),
            si: this.group.formats.si(this.curve.unit, this.chart.posToVal(within(clientY - top, height), "y")),
        };
    }

    /// The other way round.
    onScreen(place: number, si: number): { clientX: number; clientY: number } | null {
        if (!this.chart) return null;
        const { left, top } = this.chart.over.getBoundingClientRect();
        return {
            clientX: left + this.chart.valToPos(place, "x"),
            clientY: top + this.chart.valToPos(this.group.formats.shown(this.curve.unit, si), "y"),
        };
    }

    /// "4250 rpm: as-is 61.2 kPa, pulley 80.4 kPa"
    spokenValues(): string {
        const values = this.runs.map((run, i) => `${run.variant.name} ${this.full(this.valueAt(i))}`);
        return `${this.place === null ? "end" : this.group.placeText(this.place)}: ${values.join(", ")}`;
    }

    private data(): uPlot.AlignedData {
        const { scale, offset } = this.group.formats.display(this.curve.unit);
        const grid = this.group.grid;
        const shown = (si: number | null) => (si === null ? null : si * scale + offset);
        const values = (run: Run) => run.variant.curves[this.curve.key]!;
        const lines = this.runs.map((run, i) => this.tracks[i].sample(values(run), grid).map(shown));
        return [grid, ...lines] as uPlot.AlignedData;
    }

    private resize(width: number): void {
        if (width === this.width || width === 0 || this.group.printing) return;
        this.width = width;
        if (this.chart) this.chart.setSize({ width, height: heightFor(width) });
        else if (this.inSight) this.rebuild();
        else later(this.catchUp);
    }

    private fillLegend(): void {
        this.values = this.runs.map(() => h("span", { class: "plot-value" }));
        this.legend.replaceChildren(...this.runs.map((run, i) =>
            h("span", { class: "plot-key", style: `color: ${run.style.css}`, title: run.variant.title },
                swatch(run.style, 20), h("span", { class: "mark" }, run.style.mark),
                h("span", { class: "unseen" }, run.variant.name), this.values[i])),
            this.where);
    }

    private valueAt(i: number): number | null {
        const values = this.runs[i].variant.curves[this.curve.key]!;
        if (this.place !== null) return this.tracks[i].at(values, this.place);
        const marks = landmarks(values);
        return marks && values[marks.last];
    }

    private showValues(): void {
        const text = (i: number) => this.group.formats.text(this.curve.unit, this.valueAt(i), this.curve.decimals);
        const texts = this.values.map((_, i) => text(i));
        const longest = Math.max(this.longest, ...texts.map(({ length }) => length));
        if (longest > this.longest) this.legend.style.setProperty("--digits", String((this.longest = longest)));
        this.values.forEach((element, i) => say(element, texts[i]));
        say(this.where, this.place === null ? "at the end" : `at ${this.group.placeText(this.place)}`);
    }

    private full(si: number | null): string {
        return si === null ? "no value" : this.group.formats.full(this.curve.unit, si, this.curve.decimals);
    }

    /// The chart in words.
    private description(): string {
        if (this.runs.length === 0) return `${this.curve.label}: no variant has it`;
        const lines = this.runs.map((run) => {
            const values = run.variant.curves[this.curve.key]!;
            const marks = landmarks(values);
            if (!marks) return `${run.variant.title}: no values`;
            const axis = this.group.axisOf(run);
            const at = (row: number) => `${this.full(values[row])} at ${this.group.placeText(axis[row])}`;
            return `${run.variant.title}: starts at ${this.full(values[marks.first])}, highest ${at(marks.highest)}, ` +
                `lowest ${at(marks.lowest)}, ends at ${this.full(values[marks.last])}.`;
        });
        const axis = this.group.over === "speed" ? "engine speed" : "time";
        return `${this.curve.label} over ${axis}. ${lines.join(" ")} Arrow keys move the cursor, plus and minus zoom.`;
    }
}

/// Sets a text; one that says so already is left alone, for the page to lay out less.
function say(element: HTMLElement, text: string): void {
    if (element.textContent !== text) element.textContent = text;
}

const heightFor = (width: number): number => Math.round(Math.min(280, Math.max(190, width * 0.5)));
