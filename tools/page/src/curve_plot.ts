/// One plot of a group: one curve, one line a run.

import uPlot from "uplot";
import "uplot/dist/uPlot.min.css";
import "./plot.css";

import type { Curve } from "./data";
import { h, uniqueId } from "./dom";
import { later } from "./later";
import type { PlotGroup, Run } from "./plot";
import { plotOptions, printScale } from "./plot_options";
import { landmarks, type Track } from "./series";
import { swatch } from "./variants";

const printWidth = 330; // CSS pixels; style sheets fit it to the column

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
