/// The report: everything that a study found, on one printed-looking page.

import type { Curve, InSystems, Page, System, Variant } from "./data";
import { h, uniqueId } from "./dom";
import { figuresTable } from "./figures";
import { later } from "./later";
import { instantSection } from "./instant";
import { PlotGroup, type Run } from "./plot";
import { changesAndParts, provenance } from "./records";
import type { Over } from "./series";
import { dataTable } from "./table";
import { Formats } from "./units";
import { swatch, variantStyles } from "./variants";

/// Renders the report into the page's body.
export function renderReport(page: Page): void {
    const formats = new Formats(page.units, page.system);
    const styles = variantStyles(page.variants);
    const runs = page.variants.map((variant, i) => ({ variant, style: styles[i] }));
    const group = new PlotGroup(formats, page.speed_unit);
    document.title = page.study.title;
    document.body.classList.add("report");
    document.body.append(
        head(page, formats),
        h("main", {},
            bar(formats, group),
            section("Variants", variantList(runs, formats)),
            section("Figures", figuresNote(page), figuresTable(page.figures, page.variants, styles, formats)),
            charts(page, group, runs),
            ...instantSection(page, runs, formats).map((content) => section("An instant of the pull", content)),
            section("Warnings", warnings(page, formats)),
            section("Cautions", list(page.cautions, formats, "cautions")),
            section("Models and assumptions", assumptions(page, formats)),
            section("Changes and parts", ...changesAndParts(page.variants, formats)),
            section("How this was computed", provenance(page))));
    group.setData(runs);
    firstScreenFirst();
    openOnPaper();
}

/// What is far below the first screen waits with its layout until that is shown.
export function firstScreenFirst(): void {
    document.body.classList.add("opening");
    later(() => document.body.classList.remove("opening"));
}

/// Drawers that belong on paper are open while it is printed.
export function openOnPaper(): void {
    let opened: HTMLDetailsElement[] = [];
    addEventListener("beforeprint", () => {
        opened = [...document.querySelectorAll<HTMLDetailsElement>("details.prints:not([open])")];
        for (const drawer of opened) drawer.open = true;
    });
    addEventListener("afterprint", () => opened.forEach((drawer) => (drawer.open = false)));
}

/// A text that follows the unit system.
export function spoken(formats: Formats, text: InSystems<string>, tag: "p" | "span" = "p"): HTMLElement {
    const element = h(tag, {});
    const fill = () => (element.textContent = formats.sentence(text[formats.system]));
    formats.onChange(fill);
    fill();
    return element;
}

/// A list that follows the unit system; it hides while it has nothing to say.
export function spokenList(formats: Formats, texts: InSystems<string[]>): HTMLElement {
    const element = h("ul", {});
    const fill = () => {
        element.hidden = texts[formats.system].length === 0;
        element.replaceChildren(...texts[formats.system].map((text) => h("li", {}, formats.sentence(text))));
    };
    formats.onChange(fill);
    fill();
    return element;
}

/// A section under its heading.
export function section(title: string, ...content: (Node | null)[]): HTMLElement {
    const id = uniqueId("section");
    return h("section", { "aria-labelledby": id }, h("h2", { id }, title), ...content);
}

/// Sentences as a list.
export const list = (texts: readonly string[], formats: Formats, name: string | null = null): HTMLElement =>
    h("ul", { class: name }, ...texts.map((text) => h("li", {}, formats.sentence(text))));

/// What each model is good for, in a drawer.
export const assumptions = (page: Pick<Page, "assumptions">, formats: Formats): HTMLElement => h("details", { class: "prints" },
    h("summary", {}, "What each model is good for, and where it comes from"),
    list(page.assumptions, formats, "columns"));

/// Title, question, what came out, and the study's note.
export function head(page: Pick<Page, "study" | "headline">, formats: Formats): HTMLElement {
    const { title, question, note } = page.study;
    const lead = spoken(formats, page.headline);
    lead.className = "lead";
    return h("header", {}, h("h1", {}, title), question !== "" && h("p", { class: "question" }, question),
        lead, note !== "" && h("p", { class: "note" }, note));
}

/// The slim bar that stays in sight: units, axis, and the way back from a zoom.
export function bar(formats: Formats, group: PlotGroup): HTMLElement {
    const units = unitsSwitch(formats);
    const places = { speed: "engine speed", time: "time" };
    const axis = switchOf<Over>("Charts over", places, group.over, (over) => group.setOver(over));
    group.onChange(() => {
        for (const input of axis.querySelectorAll("input")) {
            input.checked = input.value === group.over;
            input.disabled = input.value === "speed" && !group.canUseSpeed;
        }
    });
    return h("div", { class: "bar", role: "group", "aria-label": "How the page is shown" },
        units, axis, wholePull(group), group.key());
}

/// The way back from a zoom.
export function wholePull(group: PlotGroup): HTMLElement {
    const whole = h("button", { type: "button", disabled: true, onclick: () => group.whole() }, "Whole pull");
    group.onChange(() => (whole.disabled = !group.isZoomed));
    return whole;
}

/// Metric or US.
export const unitsSwitch = (formats: Formats): HTMLElement =>
    switchOf<System>("Units", { metric: "metric", us: "US" }, formats.system, (s) => formats.choose(s));

/// One of a few choices.
export function switchOf<T extends string>(
    title: string, choices: Record<T, string>, chosen: T, choose: (value: T) => void,
): HTMLElement {
    const name = uniqueId("switch");
    const option = (value: T) => h("label", {},
        h("input", { type: "radio", name, value, checked: value === chosen, onchange: () => choose(value) }),
        h("span", {}, choices[value]));
    return h("fieldset", { class: "switch" }, h("legend", {}, title), ...(Object.keys(choices) as T[]).map(option));
}

function variantList(runs: readonly Run[], formats: Formats): HTMLElement {
    return h("ul", { class: "variants" },
        ...runs.map(({ variant, style }) => variantItem(variant as Variant, style, formats)));
}

function variantItem(variant: Variant, style: Run["style"], formats: Formats): HTMLElement {
    const name = h("p", { class: "variant-name" }, swatch(style, 36),
        h("strong", { style: `color: ${style.css}` }, h("span", { class: "mark" }, style.mark), variant.name),
        h("span", {}, variant.title + (variant.base ? " (base of all comparisons)" : "")));
    const failure = variant.failure !== null && h("p", { class: "failure" }, `Did not finish: ${variant.failure}`);
    return h("li", { class: variant.base ? "base" : null }, name, failure,
        variant.headline[formats.system] !== "" && spoken(formats, variant.headline),
        variant.new_parts !== "" && h("p", { class: "aside" }, `New parts: ${variant.new_parts}`),
        spokenList(formats, variant.words));
}

function figuresNote(page: Page): HTMLElement | null {
    return page.correction_caution === "" ? null : h("p", { class: "caution" }, page.correction_caution);
}

/// All charts of the page's curves that one of these runs has: three plots wide where there is room, or one with a band;
/// small ones share a line.
export function charts(page: Page, group: PlotGroup, runs: readonly Run[]): HTMLElement {
    const curves = new Map(page.curves.map((curve) => [curve.key, curve]));
    const drawn = (key: string) => runs.some((run) => run.variant.curves[key]);
    const edge = ({ band }: Curve) => (band !== null && drawn(band) ? curves.get(band)! : null);
    const parts = page.charts.map((chart) => {
        const own = chart.curves.filter(drawn).map((key) => curves.get(key)!);
        if (own.length === 0) return null;
        const across = own.some(edge) ? 3 : Math.min(3, own.length);
        return h("section", { class: `chart plots-${across}`, "aria-label": chart.title },
            h("h3", {}, chart.title), h("p", { class: "aside" }, chart.doc), group.key(),
            h("div", { class: "plots" }, ...own.map((curve) => group.add(curve, edge(curve)))),
            dataTable(chart, own.flatMap((curve) => [curve, edge(curve)].filter((shown) => shown !== null)), group));
    });
    const help = h("p", { class: "aside screen-only" },
        "Point at a chart to read all of them at one place; drag along it to enlarge a part, and press twice for the " +
        "whole pull. With the keyboard: arrow keys, Home and End, plus and minus.");
    return section("Over the pull", help, h("div", { class: "charts" }, ...parts));
}

function warnings(page: Page, formats: Formats): HTMLElement {
    const common = page.common_warnings;
    const own = page.variants.filter((v) => v.warnings.metric.length > 0);
    const block = (title: string, content: HTMLElement) => [h("h3", {}, title), content];
    const parts = [
        ...own.flatMap((v) => block(`${v.name}: ${v.title}`, spokenList(formats, v.warnings))),
        ...(common.metric.length > 0 ? block("All variants", spokenList(formats, common)) : []),
        ...(page.load_notes.length > 0 ? block("From reading the files", list(page.load_notes, formats)) : []),
        ...correctionNotes(page.variants, formats),
    ];
    return h("div", { class: "warnings" }, ...(parts.length > 0 ? parts : [h("p", {}, "None.")]));
}

/// Correction notes, once where they are the same for all.
function correctionNotes(variants: readonly Variant[], formats: Formats): HTMLElement[] {
    const lists = variants.filter((v) => v.corrections.length > 0);
    if (lists.length === 0) return [];
    const same = lists.every((v) => v.corrections.join("\n") === lists[0].corrections.join("\n"));
    const named = (v: Variant) => [h("p", {}, `${v.name}:`), list(v.corrections, formats)];
    const content = same ? [list(lists[0].corrections, formats)] : lists.flatMap(named);
    return [h("h3", {}, "Correction to standard conditions"), ...content];
}
