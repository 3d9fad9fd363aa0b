/// The change between two variants, split by cause: one table a figure whose middle column is the picture.

import "./explained.css";

import type { Explained, ExplainedFigure, Share } from "./data";
import { h, scrolling, svg } from "./dom";
import { list, section, spoken, spokenList, unitsSwitch } from "./report";
import { Formats } from "./units";
import { waterfall, type Step } from "./waterfall";

/// What is explained, on whatever page.
type Explanation = Pick<Explained, "from" | "to" | "causes">;

/// How the pictures are read.
export const pictureNote = "In the picture a filled bar goes up, an outlined one down; each begins where the one " +
    "above it ends. Its scale starts where the values do, not at zero.";
/// "deep (deep core)"
export const named = ({ name, title }: Explained["from"]): string => (title === name ? name : `${name} (${title})`);

/// Renders the explanation into the page's body.
export function renderExplained(page: Explained): void {
    const formats = new Formats(page.units, page.system);
    document.title = page.study.title;
    document.body.classList.add("explained");
    document.body.append(
        h("header", {}, h("h1", {}, page.study.title),
            h("p", { class: "question" }, `From ${named(page.from)} to ${named(page.to)}: what is whose doing?`)),
        h("main", {},
            h("div", { class: "bar", role: "group", "aria-label": "How the page is shown" }, unitsSwitch(formats)),
            section("Causes", causes(page, formats)),
            section("Figures", h("p", { class: "note" }, page.how_to_read),
                h("p", { class: "aside" }, pictureNote),
                ...page.figures.map((figure) => explainedFigure(page, figure, formats)),
                spokenList(formats, page.not_there)),
            section("Cautions", list(page.cautions, formats, "cautions")),
            section("How this was computed", provenance(page))));
}

/// The terminal's arrow as print sets it.
const arrows = (texts: readonly string[]): string[] => texts.map((text) => text.replaceAll(" -> ", " \u2192 "));

/// Each cause with what changes by it.
export function causes(page: Explanation, formats: Formats): HTMLElement {
    return h("dl", { class: "causes" }, ...page.causes.flatMap(({ title, changes }) => [
        h("dt", {}, title),
        h("dd", {}, spokenList(formats, { metric: arrows(changes.metric), us: arrows(changes.us) })),
    ]));
}

/// One figure: its words, and the table with the picture.
export function explainedFigure(
    page: Explanation, figure: ExplainedFigure, formats: Formats, heading: "h3" | "h4" = "h3",
): HTMLElement {
    const label = `${figure.label}, from ${page.from.name} to ${page.to.name}`;
    const region = scrolling(`${label}, by cause`);
    const fill = () => region.replaceChildren(table(page, figure, formats));
    formats.onChange(fill);
    fill();
    return h("section", { class: "explained-figure", "aria-label": label },
        h(heading, {}, figure.label), spoken(formats, figure.words), region);
}

function table(page: Explanation, figure: ExplainedFigure, formats: Formats): HTMLTableElement {
    const places = waterfall(figure.from, figure.to, figure.shares.map((s) => s.share));
    const unit = formats.unit(figure.difference);
    const head = h("tr", {}, h("th", { scope: "col" }, "cause"),
        h("th", { scope: "col", class: "number" }, "share" + (unit ? `, ${unit}` : "")),
        h("td", { class: "steps" }),
        ...["alone", "last"].map((title) => h("th", { scope: "col", class: "number" }, title)));
    return h("table", { class: "by-cause" },
        h("caption", { class: "unseen" }, `${figure.label} from ${page.from.name} to ${page.to.name}`),
        h("thead", {}, head),
        h("tbody", {},
            end(page.from.name, figure.from, figure, formats, picture(line(places.from, 50, 100), mark(places.from))),
            ...figure.shares.map((share, k) => causeRow(page.causes[k].title, share, places.steps[k], figure, formats)),
            end(page.to.name, figure.to, figure, formats, picture(line(places.to, 0, 50), mark(places.to)))));
}

function end(name: string, value: number, figure: ExplainedFigure, formats: Formats, drawn: Element): HTMLElement {
    return h("tr", { class: "end" }, h("th", { scope: "row" }, name),
        h("td", { class: "number" }, formats.full(figure.unit, value, figure.decimals)),
        h("td", { class: "steps" }, drawn), h("td", { colspan: 2 }));
}

function causeRow(
    title: string, share: Share, step: Step, figure: ExplainedFigure, formats: Formats,
): HTMLElement {
    const number = (si: number) => h("td", { class: "number" }, formats.signed(figure.difference, si, figure.decimals));
    return h("tr", {}, h("th", { scope: "row" }, title), number(share.share),
        h("td", { class: "steps" }, picture(line(step.start, 0, 20), bar(step), line(step.end, 80, 100))),
        number(share.alone), number(share.last));
}

// The drawings fill their cells, whatever size these have: x in thousandths of the width, y in hundredths of the height.
const picture = (...content: Element[]): Element =>
    svg("svg", { viewBox: "0 0 1000 100", preserveAspectRatio: "none", "aria-hidden": "true" }, ...content);
const x = (place: number) => (1000 * place).toFixed(1);
const line = (at: number, y1: number, y2: number): Element =>
    svg("line", { class: "joint", x1: x(at), x2: x(at), y1, y2 });
const mark = (at: number): Element => svg("line", { class: "level", x1: x(at), x2: x(at), y1: 20, y2: 80 });
const bar = ({ start, end: stop }: Step): Element => svg("rect", {
    class: stop >= start ? "up" : "down", x: x(Math.min(start, stop)), width: x(Math.abs(stop - start)), y: 20, height: 60,
});

function provenance(page: Explained): HTMLElement {
    const facts: [string, string][] = [
        ["program", `${page.program.name} ${page.program.version}`],
        ["study", page.study.file],
        ["files read, as hash", page.study.hash],
        ["pulls run", `${page.pulls}: every mixture of the two variants, once`],
        ["method", "Shapley values over all of them: the shares add up to the change, but for rounding"],
    ];
    return h("dl", { class: "facts" }, ...facts.flatMap(([name, text]) => [h("dt", {}, name), h("dd", {}, text)]));
}
