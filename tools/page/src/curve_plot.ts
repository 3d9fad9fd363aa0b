/// One plot of a group: one curve, one line a run. Another curve may go with it: the other edge of a band, or points
/// beside the line.

import uPlot from "uplot";
import "uplot/dist/uPlot.min.css";
import "./plot.css";

import type { Curve } from "./data";
import { h, uniqueId } from "./dom";
import { later } from "./later";
import type { PlotGroup, Run } from "./plot";
import { plotOptions, printScale, type Readings } from "./plot_options";
import { landmarks, type Track } from "./series";
import { edgeStyle, pointSwatch, swatch, type VariantStyle } from "./variants";

/// How a plot differs from the usual one.
export interface Look {
    points?: boolean; // the other curve was measured: points, no band
    low?: boolean;
    wide?: boolean;
}

const printWidth = 330; // CSS pixels; style sheets fit it to the column

/// A line of the plot.
interface Line {
    run: Run;
    track: Track;
    curve: Curve;
    style: VariantStyle;
    name: string; // read out
    points: boolean;
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
    private lines: Line[] = []; // of the curve, then those of the other
    private place: number | null = null;
    private width = 0;
    private inSight = false;
    private behind = true; // the lines are older than the runs

    constructor(
        private readonly group: PlotGroup, readonly curve: Curve, private readonly other: Curve | null,
        private readonly look: Look,
    ) {
        const title = uniqueId("plot");
        const kind = (this.wide ? " wide" : "") + (look.low ? " low" : "");
        this.element = h("figure", { class: `plot${kind}`, "aria-labelledby": title },
            h("figcaption", {},
                h("p", { class: "plot-title" }, h("span", { id: title }, curve.label), this.unit),
                h("p", { class: "plot-doc" }, [curve, other].flatMap((c) => c?.doc || []).join("; ")), this.legend),
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
        const before = this.kind();
        const lines = (curve: Curve): Line[] => runs.flatMap((run, i) => run.variant.curves[curve.key]
            ? [{ run, track: tracks[i], curve, style: run.style, name: run.variant.name, points: false }] : []);
        const own = lines(this.curve);
        const others = this.other ? lines(this.other).filter(({ run }) => own.some((line) => line.run === run)) : [];
        const points = this.look.points === true;
        this.behind = true;
        this.lines = [...own, ...others.map((line) => ({
            ...line, points, style: points ? line.style : edgeStyle(line.style),
            name: `${line.name} (${line.curve.label})`,
        }))];
        const unit = this.group.formats.unit(this.curve.unit);
        say(this.unit, unit ? `, ${unit}` : "");
        this.element.classList.toggle("empty", own.length === 0);
        if (before !== this.kind()) {
            this.fillLegend();
            if (this.chart || this.inSight) this.rebuild();
        } else if (this.inSight) {
            this.bringLines();
        }
    }

    /// Which lines there are.
    private kind(): string {
        return this.lines.map(({ curve, style }) => `${curve.key} ${style.index}`).join();
    }

    private get wide(): boolean {
        return this.look.wide === true || (this.other !== null && !this.look.points);
    }

    /// Which lines have a band between them.
    private bands(): [number, number][] {
        return this.look.points ? [] : this.lines.flatMap((line, i) => {
            const own = this.lines.findIndex(({ run, curve }) => run === line.run && curve === this.curve);
            return line.curve === this.other ? [[own, i] as [number, number]] : [];
        });
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
        const width = this.group.printing ? printWidth * (this.wide ? 2 : 1) : this.width;
        if (width === 0 || this.lines.length === 0 || this.group.grid.length === 0) return;
        const options = plotOptions({
            group: this.group, curve: this.curve, styles: this.lines.map(({ style }) => style),
            bands: this.bands(), points: this.lines.flatMap(({ points }, i) => (points ? i : [])),
            readings: (i) => this.readings(i), width, height: this.heightFor(width),
            scale: this.group.printing ? printScale : 1,
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
        const values = this.lines.map(({ name }, i) => `${name} ${this.full(this.valueAt(i))}`);
        return `${this.place === null ? "end" : this.group.placeText(this.place)}: ${values.join(", ")}`;
    }

    private data(): uPlot.AlignedData {
        const { scale, offset } = this.group.formats.display(this.curve.unit);
        const grid = this.group.grid;
        const shown = (si: number | null) => (si === null ? null : si * scale + offset);
        const lines = this.lines.map((line) => line.track.sample(valuesOf(line), grid).map(shown));
        return [grid, ...lines] as uPlot.AlignedData;
    }

    /// Places and shown values of a line, as they were measured.
    private readings(i: number): Readings {
        const { run, curve } = this.lines[i];
        const { formats } = this.group;
        const y = valuesOf(this.lines[i]).map((si) => (si === null ? null : formats.shown(curve.unit, si)));
        return { x: this.group.axisOf(run), y };
    }

    private heightFor(width: number): number {
        const height = Math.min(280, Math.max(190, width * 0.5));
        return Math.round(this.look.low ? 0.7 * height : height);
    }

    private resize(width: number): void {
        if (width === this.width || width === 0 || this.group.printing) return;
        this.width = width;
        if (this.chart) this.chart.setSize({ width, height: this.heightFor(width) });
        else if (this.inSight) this.rebuild();
        else later(this.catchUp);
    }

    private fillLegend(): void {
        this.values = this.lines.map(() => h("span", { class: "plot-value" }));
        this.legend.replaceChildren(...this.lines.map(({ run, style, name, points }, i) =>
            h("span", { class: "plot-key", style: `color: ${style.css}`, title: run.variant.title },
                points ? pointSwatch(style) : swatch(style, 20), h("span", { class: "mark" }, style.mark),
                h("span", { class: "unseen" }, name), this.values[i])),
            this.where);
    }

    private valueAt(i: number): number | null {
        const values = valuesOf(this.lines[i]);
        if (this.place !== null) return this.lines[i].track.at(values, this.place);
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
        if (this.lines.length === 0) return `${this.curve.label}: no variant has it`;
        const lines = this.lines.map((line) => {
            const values = valuesOf(line);
            const marks = landmarks(values);
            const title = line.run.variant.title + (line.curve === this.other ? ` (${line.curve.label})` : "");
            if (!marks) return `${title}: no values`;
            const axis = this.group.axisOf(line.run);
            const at = (row: number) => `${this.full(values[row])} at ${this.group.placeText(axis[row])}`;
            return `${title}: starts at ${this.full(values[marks.first])}, highest ${at(marks.highest)}, ` +
                `lowest ${at(marks.lowest)}, ends at ${this.full(values[marks.last])}.`;
        });
        const axis = this.group.over === "speed" ? "engine speed" : "time";
        return `${this.curve.label} over ${axis}. ${lines.join(" ")} Arrow keys move the cursor, plus and minus zoom.`;
    }
}

const valuesOf = ({ run, curve }: Line): (number | null)[] => run.variant.curves[curve.key]!;

/// Sets a text; one that says so already is left alone, for the page to lay out less.
function say(element: HTMLElement, text: string): void {
    if (element.textContent !== text) element.textContent = text;
}
