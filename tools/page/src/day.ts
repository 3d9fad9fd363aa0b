/// A session: the day's pulls one after the other, what was stored in between, and how long to wait.

import "./day.css";

import type { Day, DayVariant } from "./data";
import { dayAxis } from "./day_axis";
import type { StyledDay } from "./day_clock";
import { heatOfPulls } from "./day_heat";
import { pullOverPull, pullsTable } from "./day_pulls";
import { recoveries } from "./day_recovery";
import { h } from "./dom";
import { figuresTable } from "./figures";
import { changesAndParts, ledgerTable } from "./records";
import {
    assumptions, firstScreenFirst, head, list, openOnPaper, section, spoken, spokenList, unitsSwitch,
} from "./report";
import { Formats } from "./units";
import { swatch, variantStyles } from "./variants";

/// Renders the page of a session into the page's body.
export function renderDay(page: Day): void {
    const formats = new Formats(page.units, page.system);
    const shown = h("div", { class: "day-shown" });
    document.title = page.study.title;
    document.body.classList.add("day");
    document.body.append(
        head(page, formats),
        h("main", {},
            h("div", { class: "bar", role: "group", "aria-label": "How the page is shown" }, unitsSwitch(formats)),
            shown,
            section("Cautions", list(page.cautions, formats, "cautions")),
            section("Models and assumptions", assumptions(page, formats)),
            section("Changes and parts", ...changesAndParts(page.variants, formats)),
            section("How this was computed", provenance(page))));
    showDay(shown, page, formats);
    firstScreenFirst();
    openOnPaper();
}

const ending = new WeakMap<HTMLElement, () => void>();

/// Shows a session in `root`, in place of what stood there; it follows the unit system of `formats`.
export function showDay(root: HTMLElement, day: Day, formats: Formats): void {
    ending.get(root)?.();
    const own = new Formats(day.units, formats.system);
    ending.set(root, formats.onChange(() => own.choose(formats.system)));
    const styles = variantStyles(day.variants);
    const all = day.variants.map((variant, i) => ({ variant, style: styles[i] }));
    const pulled = all.filter(({ variant }) => variant.pulls.length > 0);
    const some = (any: boolean, title: string, content: () => (Node | null)[]) =>
        (any ? [section(title, ...content())] : []);
    root.replaceChildren(
        section("Which pull was hotter, and how long to wait", variants(all, own),
            pulled.length > 0 ? pullsTable(day, pulled, own) : h("p", {}, "There was no pull on this day.")),
        ...some(all.some(({ variant }) => variant.steps.length > 0), "The whole day", () => dayAxis(day, all, own)),
        ...some(pulled.length > 0, "Pull over pull", () => pullOverPull(day, pulled, own)),
        ...some(pulled.length > 0, "Where the heat of each pull went", () => heatOfPulls(day, pulled, own)),
        ...some(pulled.length > 0, "How the start comes back", () => recoveries(day, pulled, own)),
        ...some(all.some(({ variant }) => variant.steady !== null), "What a steady calculation would have said",
            () => steady(day, all, own)),
        section("Warnings", warnings(day, own)));
}

function variants(all: readonly StyledDay[], formats: Formats): HTMLElement {
    const name = ({ title, base }: DayVariant) => title + (base && all.length > 1 ? " (base of all comparisons)" : "");
    return h("ul", { class: "variants" }, ...all.map(({ variant, style }) => h("li", {},
        h("p", { class: "variant-name" }, swatch(style, 36),
            h("strong", { style: `color: ${style.css}` }, h("span", { class: "mark" }, style.mark), variant.name),
            h("span", {}, name(variant))),
        variant.failure !== null && h("p", { class: "failure" }, `Did not finish: ${variant.failure}`),
        variant.headline[formats.system] !== "" && spoken(formats, variant.headline),
        variant.new_parts !== "" && h("p", { class: "aside" }, `New parts: ${variant.new_parts}`),
        spokenList(formats, variant.words))));
}

/// In words, and beside the first pull in figures.
function steady(day: Day, all: readonly StyledDay[], formats: Formats): HTMLElement[] {
    return all.flatMap(({ variant, style }) => {
        if (variant.steady === null) return [];
        const columns = [
            { name: "pull 1", base: true, failure: null, figures: variant.pulls[0].figures },
            { name: "held for ever", base: false, failure: null, figures: variant.steady },
        ];
        const both = (key: string) => columns.every(({ figures }) => (figures[key] ?? null) !== null);
        const rows = day.figures.filter(({ key }) => key.endsWith("_redline") && both(key));
        return [
            h("h3", { style: `color: ${style.css}` }, h("span", { class: "mark" }, style.mark), variant.title),
            spoken(formats, variant.steady_words),
            ...(rows.length > 0 ? [h("details", { class: "prints" }, h("summary", {}, "Both in figures"),
                figuresTable(rows, columns, variantStyles(columns), formats,
                    `Pull 1 and held for ever, ${variant.title}`))] : []),
        ];
    });
}

function warnings(day: Day, formats: Formats): HTMLElement {
    const own = day.variants.filter((v) => v.warnings.metric.length > 0);
    const common = day.common_warnings;
    const block = (title: string, content: HTMLElement) => [h("h3", {}, title), content];
    const parts = [
        ...own.flatMap((v) => block(`${v.name}: ${v.title}`, spokenList(formats, v.warnings))),
        ...(common.metric.length > 0 ? block("All variants", spokenList(formats, common)) : []),
        ...(day.load_notes.length > 0 ? block("From reading the files", list(day.load_notes, formats)) : []),
        ...(day.correction_caution !== "" ? [h("p", { class: "caution" }, day.correction_caution)] : []),
    ];
    return h("div", { class: "warnings" }, ...(parts.length > 0 ? parts : [h("p", {}, "None.")]));
}

function provenance(page: Day): HTMLElement {
    const { program, study } = page;
    const facts = [
        ["program", `${program.name} ${program.version}`], ["study", study.file],
        ["hash of all that went in", study.hash],
    ];
    return h("div", {},
        h("dl", { class: "facts" }, ...facts.flatMap(([name, text]) => [h("dt", {}, name), h("dd", {}, text)])),
        ledgerTable(page.variants.filter((v) => v.ledger !== null)));
}
