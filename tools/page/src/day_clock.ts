/// What the charts of a day share: an axis in minutes and seconds, and a choice of curves.

import type { Chart, Curve, Day, DayVariant } from "./data";
import { h } from "./dom";
import { PlotGroup } from "./plot";
import type { Look } from "./curve_plot";
import type { Track } from "./series";
import { dataTable } from "./table";
import { numberText } from "./units";
import type { VariantStyle } from "./variants";

/// A variant of the day with what it is drawn with.
export interface StyledDay {
    variant: DayVariant;
    style: VariantStyle;
}

/// "4:30", "0:12.5" with decimals.
export function clockText(seconds: number, decimals = 0): string {
    const size = Number(Math.abs(seconds).toFixed(decimals));
    const minutes = Math.floor(size / 60);
    const rest = (size - 60 * minutes).toFixed(decimals).padStart(decimals > 0 ? 3 + decimals : 2, "0");
    return `${seconds < 0 && size > 0 ? "\u2212" : ""}${minutes}:${rest}`;
}

/// "25 s", "4 min 30 s", as the program says it.
export function durationText(seconds: number): string {
    const whole = Math.round(seconds);
    if (whole < 90) return `${whole}\u00a0s`;
    return `${Math.floor(whole / 60)}\u00a0min ${String(whole % 60).padStart(2, "0")}\u00a0s`;
}

const tickSteps = [0.1, 0.2, 0.5, 1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600]; // s
const rowSteps = [0.5, 1, 2, 5, 10, 30, 60, 120, 300]; // s
const mostRows = 80;
const finest = 60; // s of window below which tenths are told
const leastShown = 1; // s

/// Charts over a clock, drawn through every row that the program kept.
export class ClockGroup extends PlotGroup {
    constructor(formats: PlotGroup["formats"], speedUnit: string, private readonly clock: string) {
        super(formats, speedUnit);
        this.setOver("time");
    }

    override axisTitle(): string {
        return `${this.clock}, min:s`;
    }
    override placeText(place: number): string {
        const [from, to] = this.window;
        return clockText(place, to - from < finest ? 1 : 0);
    }
    override rowText(place: number): string {
        return clockText(place, this.rowStep() < 1 ? 1 : 0);
    }
    override rowStep(): number {
        const span = this.grid.length > 0 ? this.grid[this.grid.length - 1] - this.grid[0] : 0;
        return rowSteps.find((step) => span / step <= mostRows) ?? rowSteps[rowSteps.length - 1];
    }
    override axisTicks(): ReturnType<PlotGroup["axisTicks"]> {
        return { steps: tickSteps, texts: (places, step) => places.map((s) => clockText(s, step < 1 ? 1 : 0)) };
    }
    protected override gridOf(tracks: readonly Track[]): number[] {
        return [...new Set(tracks.flatMap((track) => track.places))].sort((a, b) => a - b);
    }
    protected override leastWindow(): number {
        return leastShown;
    }
}

/// Plots that come and go with what the reader ticks.
export function chosenPlots(
    day: Pick<Day, "curves" | "charts" | "variants">, group: PlotGroup, first: readonly string[], title: string,
    look: Look,
): { picker: HTMLElement; plots: HTMLElement } {
    const there = (key: string) => day.variants.some((v) => v.curves[key]);
    const curves = new Map(day.curves.filter(({ key }) => there(key)).map((curve) => [curve.key, curve]));
    const edge = ({ band }: Curve) => (band === null ? null : curves.get(band) ?? null);
    const made = new Map<string, HTMLElement>();
    const chosen = new Set(first.filter((key) => curves.has(key)));
    const plots = h("div", { class: look.wide ? "plots day-plots" : "plots" });
    const data = h("div", {});
    const order = day.charts.flatMap((chart) => chart.curves).filter((key) => curves.has(key));
    const fill = () => {
        const shown = order.filter((key) => chosen.has(key)).map((key) => curves.get(key)!);
        for (const curve of shown)
            if (!made.has(curve.key)) made.set(curve.key, group.add(curve, edge(curve), look));
        plots.replaceChildren(...shown.map(({ key }) => made.get(key)!));
        const open = data.querySelector("details")?.open === true;
        const edges = shown.flatMap((curve) => [curve, edge(curve)].filter((any) => any !== null));
        const drawer = dataTable({ title }, edges, group, "shown");
        drawer.open = open;
        data.replaceChildren(...(shown.length > 0 ? [drawer] : [h("p", { class: "aside" }, "No curve is ticked.")]));
    };
    const turn = (key: string, on: boolean) => {
        if (on) chosen.add(key);
        else chosen.delete(key);
        fill();
    };
    const box = (key: string) => h("label", { class: "check" },
        h("input", { type: "checkbox", checked: chosen.has(key), onchange: (event) =>
            turn(key, (event.target as HTMLInputElement).checked) }), ` ${curves.get(key)!.label}`);
    const block = (chart: Chart) => {
        const own = chart.curves.filter((key) => curves.has(key));
        return own.length === 0 ? null : h("fieldset", {}, h("legend", {}, chart.title), ...own.map(box));
    };
    fill();
    return {
        picker: h("details", { class: "curve-choice" }, h("summary", {}, "Choose curves"),
            h("div", { class: "curve-choices" }, ...day.charts.map(block))),
        plots: h("div", {}, h("div", { class: look.wide ? "charts day-charts" : "charts" },
            h("div", { class: `chart plots-${look.wide ? 1 : 3}` }, plots, data))),
    };
}

/// A number with its unit's sign, or a dash.
export const shareText = (part: number, whole: number): string =>
    whole > 0 ? `${numberText((100 * part) / whole, 0)}\u00a0%` : "–";
