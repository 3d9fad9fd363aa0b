/// Which of what is met moves the results of the first choice most: shares of variance as bars with their whiskers.

import type { Choices } from "./choice_model";
import { shareText } from "./choice_model";
import type { Chosen, VarianceShare } from "./data";
import { following, number, tag } from "./choice_tables";
import { h, svg } from "./dom";
import { spokenList } from "./report";
import { numberText } from "./units";

type Column = Chosen["sensitivity"]["columns"][number];

/// Words, one table a figure, and how they are read.
export function shares(model: Choices): HTMLElement[] {
    const { sensitivity, conditions } = model.page;
    const words = spokenList(model.formats, sensitivity.words);
    if (sensitivity.left_out !== "") return [words];
    const one = model.name(sensitivity.combination);
    return [
        h("p", {}, "For ", one ? tag(one) : "",
            ` ${model.told(sensitivity.combination)}, from ${sensitivity.runs} runs of their own ` +
            `beside the ${conditions} conditions of the comparison.`),
        words,
        h("p", { class: "picture-key aside" }, key("total", "total"), key("first", "alone (first)"),
            key("whisker", "where resampled totals fall")),
        h("div", { class: "share-tables" }, ...sensitivity.columns.map((column) => table(model, column))),
        h("details", { class: "prints" }, h("summary", {}, "How these shares are read"),
            h("ul", {}, ...sensitivity.how_to_read.map((text) => h("li", {}, text)))),
    ];
}

function key(name: "total" | "first" | "whisker", text: string): HTMLElement {
    const drawn = name === "whisker" ? whiskerLine(10, 90) : bar(name, 80);
    return h("span", {}, svg("svg", { class: "share", width: 34, height: 18, "aria-hidden": "true" }, drawn), text);
}

function table(model: Choices, column: Column): HTMLElement {
    const order = column.shares.map((_, k) => k).sort((a,
        b) => column.shares[b].total.value - column.shares[a].total.value);
    const reach = Math.max(1, ...column.shares.flatMap(({ first, total }) => [first.value, total.value, total.high]));
    const range = ({ low, high }: VarianceShare) => h("span", { class: "below" },
        `${numberText(100 * low, 0)} to ${shareText(high)}`);
    const row = (k: number) => {
        const { first, total } = column.shares[k];
        return h("tr", {}, h("th", { scope: "row" }, model.page.met[k].title),
            number("total", shareText(total.value), range(total)),
                number("alone", shareText(first.value), range(first)),
            h("td", { class: "whisker-cell" }, picture(first, total, reach)));
    };
    return h("div", { class: "share-table" }, h("h3", {}, column.label),
        following(model, `Shares of variance: ${column.label}`, () => [
        h("table", { class: "changes shares" },
            h("caption", { class: "unseen" }, `Shares of the variance of ${column.label}`),
            h("thead", {}, h("tr", {}, h("th", { scope: "col" }, "what is met"),
                h("th", { scope: "col", class: "number" }, "total"),
                h("th", { scope: "col", class: "number" }, "alone"), h("td", { class: "whisker-cell" }))),
            h("tbody", {}, ...order.map(row)))]));
}

// Places along the picture are percent, sizes across it CSS pixels.
const percent = (place: number) => `${place.toFixed(2)}%`;
function picture(first: VarianceShare, total: VarianceShare, reach: number): Element {
    const place = (share: number) => (100 * Math.min(reach, Math.max(0, share))) / reach;
    return svg("svg", { class: "whisker share", "aria-hidden": "true" }, bar("total", place(total.value)),
        bar("first", place(first.value)),
        whiskerLine(place(total.low), place(total.high)));
}

function bar(name: "total" | "first", width: number): Element {
    const height = name === "total" ? 14 : 7;
    return svg("rect", { class: name, x: 0, y: "50%", width: percent(width), height,
        transform: `translate(0 ${-height / 2})` });
}

function whiskerLine(low: number, high: number): Element {
    return svg("g", { class: "share-whisker" },
        svg("line", { x1: percent(low), x2: percent(high), y1: "50%", y2: "50%" }),
        ...[low, high].map((at) => svg("rect",
            { x: percent(at), y: "50%", width: 1.5, height: 10, transform: "translate(-0.75 -5)" })));
}
