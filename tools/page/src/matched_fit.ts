/// What was fitted: values with their doubt, and which of them the pulls cannot tell apart.

import type { FittedValue, Matched } from "./data";
import { h, scrolling } from "./dom";
import { missing } from "./figures";
import { spokenList } from "./report";
import { numberText, type Formats } from "./units";

/// The parameters, how they go together, and the fit in words.
export function fitted(page: Matched, formats: Formats): HTMLElement[] {
    const region = scrolling("Fitted values");
    const fill = () => region.replaceChildren(valuesTable(page.parameters, formats));
    formats.onChange(fill);
    fill();
    const { parameters, correlations } = page;
    return [spokenList(formats, page.fit_words), region,
        ...(parameters.length > 1 ? [scrolling("Correlations", correlationTable(parameters, correlations))] : [])];
}

function valuesTable(parameters: readonly FittedValue[], formats: Formats): HTMLTableElement {
    const heads = ["", "parameter", "of", "fitted", "expected before", ""];
    return h("table", {}, h("caption", {}, "Fitted values, each \u00b1 one standard deviation"),
        h("thead", {}, h("tr", {}, ...heads.map((text, k) => text === "" ? h("td", {})
            : h("th", { scope: "col", class: k > 2 ? "number" : null }, text)))),
        h("tbody", {}, ...parameters.map((parameter, k) => valueRow(parameter, k, formats))));
}

function valueRow(parameter: FittedValue, k: number, formats: Formats): HTMLElement {
    const { unit, difference, decimals, expected, deviation } = parameter;
    const withDoubt = (value: number, doubt: number) => {
        const once = formats.unit(unit) === formats.unit(difference);
        const first = once ? formats.text(unit, value, decimals) : formats.full(unit, value, decimals);
        return `${first} \u00b1 ${formats.full(difference, doubt, decimals)}`;
    };
    return h("tr", {}, h("td", { class: "number pale" }, String(k + 1)), h("th", { scope: "row" }, parameter.title),
        h("td", {}, parameter.of === "" ? "the rig" : parameter.of),
        h("td", { class: "number" },
            deviation === null ? formats.full(unit, parameter.value, decimals) : withDoubt(parameter.value, deviation),
            deviation === null && h("span", { class: "below" }, "nothing tells")),
        h("td", { class: "number" },
            expected ? withDoubt(expected.value, expected.deviation) : missing("nothing was expected")),
        h("td", {}, parameter.at_bound && h("strong", {}, "\u22a3 at its bound")));
}

/// One half of the matrix; the other says the same.
function correlationTable(
    parameters: readonly FittedValue[], correlations: Matched["correlations"],
): HTMLTableElement {
    const columns = parameters.slice(0, -1);
    return h("table", { class: "correlations" },
        h("caption", {}, "Correlations of the fitted values; shaded: both rise, hatched: one rises, the other falls"),
        h("thead", {}, h("tr", {}, h("td", {}), ...columns.map((parameter, k) =>
            h("th", { scope: "col", title: fullName(parameter) }, String(k + 1),
                h("span", { class: "unseen" }, ` ${fullName(parameter)}`))))),
        h("tbody", {}, ...parameters.slice(1).map((parameter, i) => h("tr", {},
            h("th", { scope: "row" }, h("span", { class: "number pale" }, `${i + 2} `), fullName(parameter)),
            ...columns.map((_, k) => (k > i ? h("td", {}) : correlationCell(correlations[i + 1][k])))))));
}

const fullName = ({ title, of }: FittedValue): string => (of === "" ? title : `${title}, ${of}`);

function correlationCell(r: number | null): HTMLElement {
    if (r === null) return h("td", { class: "number" }, missing("nothing tells"));
    const style = `--strength: ${(30 * Math.abs(r)).toFixed(0)}%`;
    return h("td", { class: `number ${r < 0 ? "against" : "along"}`, style }, numberText(r, 2));
}
