/// The data behind a chart as a table, made when it is opened.

import type { Chart, Curve } from "./data";
import { h, scrolling } from "./dom";
import { missing } from "./figures";
import type { PlotGroup, Run } from "./plot";
import { multiples, Track } from "./series";

/// A closed drawer with the curves of a chart at even places of the axis.
export function dataTable(
    chart: Pick<Chart, "title">, curves: readonly Curve[], group: PlotGroup, of = "variants",
): HTMLDetailsElement {
    const region = scrolling(`Data: ${chart.title}`);
    const drawer = h("details", { class: "data" }, h("summary", {}, "Data of these charts"), region);
    let made = "";
    let shown = group.runs;
    const fill = () => {
        const wanted = `${group.over} ${group.formats.system}`;
        if (!drawer.open || (made === wanted && shown === group.runs)) return;
        region.replaceChildren(table(`${chart.title}, all ${of}`, curves, group));
        made = wanted;
        shown = group.runs;
    };
    drawer.addEventListener("toggle", fill);
    group.onChange(fill);
    return drawer;
}

function table(caption: string, curves: readonly Curve[], group: PlotGroup): HTMLTableElement {
    const columns = curves.map((curve) => ({ curve, runs: group.runs.filter((run) => run.variant.curves[curve.key]) }))
        .filter((column) => column.runs.length > 0);
    const tracks = new Map(group.runs.map((run) => [run, new Track(group.axisOf(run))]));
    const top = h("tr", {}, h("th", { scope: "col", rowspan: 2 }, group.axisTitle()),
        ...columns.map(({ curve, runs }) => {
            const unit = group.formats.unit(curve.unit);
            return h("th", { scope: "colgroup", colspan: runs.length }, curve.label + (unit ? `, ${unit}` : ""));
        }));
    const names = h("tr", {}, ...columns.flatMap(({ runs }) => runs.map(runHead)));
    const places = multiples(group.rowStep(), group.grid[0], group.grid[group.grid.length - 1]);
    const rows = places.map((place) =>
        h("tr", {}, h("th", { scope: "row" }, group.rowText(place)),
            ...columns.flatMap(({ curve, runs }) => runs.map((run, k) => {
                const value = tracks.get(run)!.at(run.variant.curves[curve.key]!, place);
                const text = value !== null && group.formats.text(curve.unit, value, curve.decimals);
                return h("td", { class: k === 0 ? "number first" : "number" }, text || missing("outside this pull"));
            }))));
    return h("table", {}, h("caption", { class: "unseen" }, caption),
        h("thead", {}, top, names), h("tbody", {}, ...rows));
}

function runHead(run: Run, k: number): HTMLElement {
    const style = `color: ${run.style.css}`;
    return h("th", { scope: "col", class: k === 0 ? "first" : null, title: run.variant.title, style },
        h("span", { class: "mark" }, run.style.mark), run.variant.name);
}
