/// What to buy first and what more money buys; the shortlist; the wishes.

import type { Choices, Measure, Named } from "./choice_model";
import { shareText, withUnit } from "./choice_model";
import type { Chosen, ChosenStep } from "./data";
import { h, scrolling, svg } from "./dom";
import { missing } from "./figures";
import { interval, upright } from "./matched_figures";
import { spoken } from "./report";
import { whisker } from "./whisker";
import { swatch } from "./variants";

/// A region whose content is made anew in the other units.
export function following(model: Choices, title: string, make: () => Node[]): HTMLDivElement {
    const region = scrolling(title);
    const fill = () => region.replaceChildren(...make());
    model.formats.onChange(fill);
    fill();
    return region;
}

/// A number in a cell; its column's title is told on a phone, where there is no head.
export const number = (column: string, ...content: (Node | string | null | false)[]): HTMLElement =>
    h("td", { class: "number" }, h("span", { class: "column", "aria-hidden": "true" }, column), ...content);
const head = (text: string, name: string | null = null): HTMLElement => h("th", { scope: "col", class: name }, text);

// ---- money ----------------------------------------------------------------------------------------------------------

/// The way upwards that goes furthest, and behind a drawer every step.
export function moneyLadder(model: Choices): HTMLElement[] {
    const { furthest, money } = model.page;
    const all = money.length > furthest.length && h("details", { class: "prints all-steps" },
        h("summary", {}, `All ${money.length} combinations that bring more than anything cheaper`),
        following(model, "All steps", () => [steps(model, money, "All steps")]));
    return [
        h("p", { class: "aside" },
            "Each row is a whole shopping list for the car as it stands; bold is what the row above has not. " +
            "Each gains most for its money over the row above, and less for it from row to row. " +
            "The picture shows the gain from the worst to the best of what is met, about no gain."),
        following(model, "Shopping lists by price", () => [steps(model, furthest, "What more money buys")]),
        ...(all ? [all] : []),
    ];
}

function steps(model: Choices, rows: readonly ChosenStep[], title: string): HTMLTableElement {
    const { lead, formats } = model;
    const unit = formats.unit("money");
    const reach = Math.max(...rows.flatMap(({ lowest, highest }) => [Math.abs(lowest), Math.abs(highest)]));
    return h("table", { class: "changes money" }, h("caption", { class: "unseen" }, title),
        h("thead", {}, h("tr", {}, head("buy"), head(withUnit("altogether", unit), "number"),
            head(withUnit("more money", unit), "number"),
            head(model.heading(lead), "number"), head("gain", "number"),
                head("from worst to best", "number"),
            h("td", { class: "whisker-cell" }), head("better in", "verdict"))),
        h("tbody", {}, startRow(model, rows[0].from), ...rows.map((step) => stepRow(model, step, reach))));
}

function startRow(model: Choices, combination: number): HTMLElement {
    const { lead, formats, page } = model;
    const own = combination === 0;
    return h("tr", { class: "start" },
        h("th", { scope: "row" }, named(model, combination),
            h("span", { class: "parts" }, ...shopping(model, combination, combination)),
            !own && h("span", { class: "below" }, "the least that grants every wish")),
        number("altogether", formats.text("money", page.combinations.price[combination], priceDecimals(model))),
        number("more money", missing("the first row")),
        number(lead.title, formats.text(lead.unit, lead.values[combination], lead.decimals)),
        h("td", { class: "unused", colspan: 4 }));
}

const priceDecimals = (model: Choices): number => model.price?.decimals ?? 0;

function stepRow(model: Choices, step: ChosenStep, reach: number): HTMLElement {
    const { lead, formats, page } = model;
    const sense = lead.less ? -1 : 1;
    const signed = (gain: number) => formats.signed(lead.difference, sense * gain, lead.decimals);
    return h("tr", {},
        h("th", { scope: "row" }, named(model, step.to),
            h("span", { class: "parts" }, ...shopping(model, step.to, step.from)),
            step === page.furthest[0] && h("span", { class: "below" }, "most for the money")),
        number("altogether", formats.text("money", page.combinations.price[step.to], priceDecimals(model))),
        number("more money", formats.text("money", step.price, priceDecimals(model))),
        number(lead.title, formats.text(lead.unit, lead.values[step.to], lead.decimals)),
        number("gain", signed(step.gain)), number("worst to best", `${signed(step.lowest)} to ${signed(step.highest)}`),
        h("td", { class: "whisker-cell" }, gainPicture(step, sense, reach)),
        h("td", { class: "verdict" }, h("span", { class: "column", "aria-hidden": "true" }, "better in"),
            h("strong", {}, step.better > 1 - 1e-9 ? "all that is met" : `${shareText(step.better)} of what is met`)));
}

/// All rows have one scale: `reach` is what is farthest from no gain.
function gainPicture({ lowest, highest, gain }: ChosenStep, sense: number, reach: number): Element {
    const [low, high] = [sense * lowest, sense * highest].sort((a, b) => a - b);
    const at = whisker(low, sense * gain, high, reach);
    const verdict = low > 0 ? "rises" : high < 0 ? "falls" : "cannot tell";
    return svg("svg", { class: "whisker", "aria-hidden": "true" }, upright("zero", 0.5),
        interval(at.low, at.high, verdict),
        upright("estimate", at.estimate));
}

/// What is bought for the car as it stands; strong: what another combination has not.
function shopping(model: Choices, combination: number, but: number): Node[] {
    const fresh = new Set(model.changes(combination, but).map(({ title }) => title));
    return model.changes(combination).map(({ title, part }) => h("span", { class: "part" },
        fresh.has(title) ? h("b", {}, part) : part));
}

/// The choice's number with its line, or nothing.
function named(model: Choices, combination: number): DocumentFragment | null {
    const one = model.name(combination);
    if (!one) return null;
    const fragment = document.createDocumentFragment();
    fragment.append(tag(one));
    return fragment;
}

/// A choice as tables name it.
export const tag = ({ label, style }: Named): HTMLElement => h("span", { class: "tag" }, swatch(style, 24),
    h("strong", { style: `color: ${style.css}` }, label));

// ---- shortlist ------------------------------------------------------------------------------------------------------

/// The car as it stands and the choices, with every wish's number; by any column.
export function shortlist(model: Choices): HTMLElement {
    const choices = model.named.slice(1);
    let by: Measure | null = null, against = false;
    const region = scrolling("Shortlist in figures");
    const value = (one: Named) => by!.values[one.combination] ?? (by!.less ? Infinity : -Infinity);
    const sorted = () => (by === null ? choices : [...choices].sort((a, b) =>
        (by!.less === against ? -1 : 1) * (value(a) - value(b))));
    const sort = (measure: Measure | null) => {
        against = measure !== null && measure === by && !against;
        by = measure;
        const focused = model.measures.indexOf(measure!);
        fill();
        region.querySelectorAll<HTMLElement>("thead button")[focused + 1]?.focus();
    };
    const sorter = (text: string, below: string, measure: Measure | null, name: string | null) => {
        const falling = by !== null && by.less === against;
        return h("th", { scope: "col", class: name,
            "aria-sort": measure === by ? (falling ? "descending" : "ascending") : null },
            h("button", { type: "button", title: `Sort by ${text}`, onclick: () => sort(measure) }, text,
                h("span", { class: "arrow", "aria-hidden": "true" },
                    measure !== by ? "" : falling ? "\u25be" : "\u25b4")),
            below !== "" && h("span", { class: "below" }, below));
    };
    const fill = () => region.replaceChildren(h("table", { class: "changes shortlist" },
        h("caption", { class: "unseen" }, "The car as it stands and the shortlist"),
        h("thead", {}, h("tr", {}, sorter("choice", "", null, null),
            ...model.measures.map((m) => sorter(model.heading(m), m.about, m, "number")))),
        h("tbody", {}, ...[model.named[0], ...sorted()].map((one) => shortlistRow(model, one)))));
    model.formats.onChange(fill);
    fill();
    return region;
}

function shortlistRow(model: Choices, one: Named): HTMLElement {
    const { combination } = one;
    const own = combination === 0;
    const parts = own
        ? model.page.bought.map((_, axis) => h("span", { class: "part" }, model.part(axis, 0)))
        : shopping(model, combination, combination);
    const failure = model.failure(combination);
    const broken = own && failure === null ? model.broken(0) : [];
    return h("tr", { class: own ? "start" : null, "data-combination": combination },
        h("th", { scope: "row" }, tag(one), h("span", { class: "parts" }, ...parts),
            failure !== null && h("span", { class: "failure" }, `could not be run: ${failure}`),
            broken.length > 0 && h("span", { class: "below" }, `does not grant: ${broken.join(", ")}`)),
        ...model.measures.map((measure) => measureCell(model, measure, combination)));
}

function measureCell(model: Choices, measure: Measure, combination: number): HTMLElement {
    const { formats, page } = model;
    const value = measure.values[combination];
    if (value === null) return number(measure.title, missing("not known"));
    const below: string[] = [];
    const change = measure.unit === "money" ? null : model.difference(measure, combination);
    if (change !== null) below.push(change);
    const w = measure.wish ? page.wishes.indexOf(measure.wish) : -1;
    if (measure.wish && !measure.wish.price) {
        const { mean, sure, share } = page.combinations.wishes[w];
        const other = measure.wish.told === "mean"
            ? `worst ${formats.text(measure.unit, sure[combination], measure.decimals)}`
            : `mean ${formats.text(measure.unit, mean[combination], measure.decimals)}`;
        below.push(other);
        if (measure.wish.at_least !== null ||
            measure.wish.at_most !== null) below.push(`kept in ${shareText(share[combination]!)}`);
    }
    return number(measure.title, h("span", { class: "told" }, formats.text(measure.unit, value, measure.decimals)),
        ...below.map((text) => h("span", { class: "below" }, text)));
}

// ---- wishes ---------------------------------------------------------------------------------------------------------

/// What was wished for, and how many combinations that keeps out.
export function wishes(page: Chosen, model: Choices): HTMLElement {
    const all = page.combinations.price.length - 1;
    const row = (wish: Chosen["wishes"][number]) => {
        const limited = wish.at_least !== null || wish.at_most !== null;
        const count = (n: number) => h("td", { class: "number" }, limited ? String(n) : missing("no limit"));
        return h("tr", {}, h("th", { scope: "row" }, wish.title),
            h("td", {}, spoken(model.formats, wish.words, "span"),
            limited && h("span", { class: "keeps-out", "aria-hidden": "true" },
            `keeps out ${wish.refused} of ${all}, ${wish.refused_alone} of them alone`)),
            count(wish.refused), count(wish.refused_alone));
    };
    return scrolling("Wishes", h("table", { class: "wishes" }, h("caption", { class: "unseen" }, "Wishes"),
        h("thead", {}, h("tr", {}, head("wish"), head("what is wanted"), head(`keeps out, of ${all}`, "number"),
            head("and nothing else does", "number"))),
        h("tbody", {}, ...page.wishes.map(row))));
}
