/// What parts did under the same conditions: one table a comparison, each change with its interval as a picture.

import "./matched.css";

import type { Matched, MatchedFigure } from "./data";
import { h, scrolling, svg } from "./dom";
import { named } from "./explained";
import { spoken, spokenList } from "./report";
import type { Formats } from "./units";
import { whisker } from "./whisker";

type Comparison = Matched["comparisons"][number];
type Verdict = MatchedFigure["verdict"];

/// The comparisons, after a key to their pictures.
export const comparisons = (page: Matched, formats: Formats): HTMLElement[] =>
    [pictureKey(), ...page.comparisons.map((comparison) => oneComparison(comparison, formats))];

function pictureKey(): HTMLElement {
    const piece = (content: Element, text: string, width = 34) => h("span", {},
        svg("svg", { class: "whisker", width, height: 18, "aria-hidden": "true" }, content), text);
    return h("p", { class: "picture-key aside" },
        piece(interval(0.1, 0.9, "rises"), "rises"), piece(interval(0.1, 0.9, "falls"), "falls"),
        piece(interval(0.1, 0.9, "cannot tell"), "cannot tell"),
        piece(upright("estimate", 0.5), "best estimate", 6), piece(upright("zero", 0.5), "no change", 6),
        piece(upright("limit", 0.5), "worse beyond this", 6),
        h("span", {}, "Each row has a scale of its own, about no change."));
}

function oneComparison(comparison: Comparison, formats: Formats): HTMLElement {
    const title = `From ${named(comparison.from)} to ${named(comparison.to)}: ${comparison.question}`;
    const region = scrolling(title);
    const fill = () => region.replaceChildren(table(comparison, title, formats));
    formats.onChange(fill);
    fill();
    return h("div", { class: "comparison" },
        h("h3", {}, title), spokenList(formats, comparison.words), region);
}

function table({ from, to, figures }: Comparison, title: string, formats: Formats): HTMLTableElement {
    const head = (text: string, name: string | null = null) => h("th", { scope: "col", class: name }, text);
    return h("table", { class: "changes" }, h("caption", { class: "unseen" }, title),
        h("thead", {}, h("tr", {}, head("figure"), head(from.name, "number"), head(to.name, "number"),
            head("change", "number"), head("interval, 95 %", "number"), h("td", { class: "whisker-cell" }),
            head("verdict", "verdict"))),
        h("tbody", {}, ...figures.map((figure) => row(figure, from.name, to.name, formats))));
}

function row(figure: MatchedFigure, from: string, to: string, formats: Formats): HTMLElement {
    const { unit, difference, decimals, label, low, high } = figure;
    const signed = (si: number | null) => (si === null ? "open" : formats.signed(difference, si, decimals));
    const number = (name: string, text: string) => h("td", { class: "number" },
        h("span", { class: "column", "aria-hidden": "true" }, name), text);
    const symbols = [...new Set([unit, difference].map((key) => formats.unit(key)))].filter((symbol) => symbol !== "");
    return h("tr", {},
        h("th", { scope: "row" }, label.trimStart() + (symbols.length > 0 ? `, ${symbols.join("; change in ")}` : "")),
        number(from, formats.text(unit, figure.from, decimals)), number(to, formats.text(unit, figure.to, decimals)),
        number("change", signed(figure.to - figure.from)), number("interval", `${signed(low)} to ${signed(high)}`),
        h("td", { class: "whisker-cell" }, picture(figure)), verdictCell(figure, formats));
}

// Places along the picture are percent, sizes across it CSS pixels, so that a cell of any size draws alike.
const percent = (place: number) => `${(100 * place).toFixed(2)}%`;

function picture({ from, to, low, high, verdict, no_worse }: MatchedFigure): Element {
    const limit = no_worse && (no_worse.worse === "rises" ? no_worse.limit : -no_worse.limit);
    const at = whisker(low, to - from, high, limit);
    return svg("svg", { class: "whisker", "aria-hidden": "true" }, upright("zero", 0.5),
        at.limit !== null && upright("limit", at.limit), interval(at.low, at.high, verdict),
        upright("estimate", at.estimate));
}

/// Filled, outlined or hatched by its verdict.
export function interval(from: number, to: number, verdict: Verdict): Element {
    const middle = { x1: percent(from), x2: percent(to), y1: "50%", y2: "50%" };
    return svg("g", { class: `interval ${verdict.replace(" ", "-")}` },
        svg("rect", { x: middle.x1, width: percent(to - from), y: "50%", height: 12, transform: "translate(0 -6)" }),
        verdict === "cannot tell" && svg("line", middle));
}

export function upright(name: "zero" | "limit" | "estimate", at: number): Element {
    const x = percent(at);
    if (name !== "estimate") return svg("line", { class: name, x1: x, x2: x, y1: 0, y2: "100%" });
    return svg("rect", { class: name, x, y: "50%", width: 3, height: 22, transform: "translate(-1.5 -11)" });
}

/// The word with its sign; what the figure's words add to it.
function verdictCell({ verdict, no_worse, difference, decimals, words }: MatchedFigure, formats: Formats): HTMLElement {
    const below = spoken(formats, words, "span");
    below.className = "below";
    const limit = no_worse && h("span", { class: "no-worse" }, no_worse.shown ? "no worse" : "no worse: not shown",
        h("span", { class: "pale" }, ` (limit ${formats.full(difference, no_worse.limit, decimals)})`));
    return h("td", { class: "verdict" },
        h("strong", {}, sign(verdict), verdict), limit, words[formats.system] !== "" && below);
}

const outlines: Record<Verdict, string> =
    { rises: "M7 2L13 12H1Z", falls: "M1 2H13L7 12Z", "cannot tell": "M1 7L5 3V11ZM13 7L9 3V11ZM5 7H9" };
const sign = (verdict: Verdict): Element => svg("svg",
    { class: `sign ${verdict.replace(" ", "-")}`, width: 14, height: 14, viewBox: "0 0 14 14", "aria-hidden": "true" },
    svg("path", { d: outlines[verdict] }));
