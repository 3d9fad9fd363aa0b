/// What turning the knobs did to the pulls: each figure with its difference from the run before.

import type { Day, DayVariant, Figure, System } from "../data";
import { h, scrolling } from "../dom";
import { Formats } from "../units";

/// One table a variant.
export function comparedPulls(now: Day, before: Day, system: System): HTMLElement {
    const formats = new Formats(now.units, system);
    return h("div", {}, ...now.variants.flatMap((variant) => {
        const old = before.variants.find(({ name }) => name === variant.name);
        return old && variant.pulls.length > 0 ? [variantTable(now, variant, old, formats)] : [];
    }));
}

function variantTable(day: Day, now: DayVariant, before: DayVariant, formats: Formats): HTMLElement {
    const figures = day.told.map((key) => day.figures.find((figure) => figure.key === key)!);
    const name = `${now.name}: ${now.title}`;
    const rows = figures.map((figure) => h("tr", {},
        h("th", { scope: "row" }, `${figure.label.trimStart()}, ${formats.unit(figure.unit)}`),
        ...now.pulls.map((_, pull) => cell(figure, now, before, pull, formats))));
    return scrolling(name, h("table", {}, h("caption", {}, name),
        h("thead", {}, h("tr", {}, h("td", {}),
            ...now.pulls.map((_, pull) => h("th", { scope: "col", class: "number" }, `pull ${pull + 1}`)))),
        h("tbody", {}, ...rows)));
}

function cell(figure: Figure, now: DayVariant, before: DayVariant, pull: number, formats: Formats): HTMLElement {
    const value = now.pulls[pull]!.figures[figure.key] ?? null;
    const old = before.pulls[pull]?.figures[figure.key] ?? null;
    const change = value !== null && old !== null && formats.signed(figure.difference, value - old, figure.decimals);
    return h("td", { class: "number" }, formats.text(figure.unit, value, figure.decimals),
        change && h("span", { class: "below" }, change));
}
