/// Pull after pull: where each starts and ends, and their curves over each other from where the throttle opens.

import type { Day, DayPull, DayVariant, Figure } from "./data";
import { chosenPlots, durationText, type StyledDay } from "./day_clock";
import { h, scrolling, svg } from "./dom";
import { figuresTable, missing } from "./figures";
import { PlotGroup, type Run } from "./plot";
import { switchOf, wholePull } from "./report";
import type { Over } from "./series";
import type { Formats } from "./units";
import { swatch, variantStyles, type VariantStyle } from "./variants";

/// How pulls of one variant are told apart: as variants are, and by their number.
export const pullStyles = (pulls: readonly DayPull[]): VariantStyle[] =>
    variantStyles(pulls.map((_, k) => ({ base: k === 0 }))).map((style, k) => ({ ...style, mark: String(k + 1) }));

const start = "intake_start", end = "intake_redline"; // figures of the picture

/// One row a pull: from where to where the intake goes, how long to wait after it, and the figures that tell most.
export function pullsTable(day: Day, days: readonly StyledDay[], formats: Formats): HTMLElement {
    const region = scrolling("Pull after pull");
    const told = day.told.map((key) => day.figures.find((figure) => figure.key === key)!)
        .filter(({ key }) => days.some(({ variant }) => variant.pulls.some((p) => p.figures[key] !== null)));
    const scale = scaleOf(days.flatMap(({ variant }) => variant.pulls));
    const waits = days.some(({ variant }) => variant.pulls.some((p) => p.recovery.watched > 0));
    const headOf = ({ label, unit }: Figure) => label.trim() + (formats.unit(unit) && `, ${formats.unit(unit)}`);
    const fill = () => region.replaceChildren(h("table", { class: "day-pulls" },
        h("caption", {}, "Filled dot: pull that ends hottest. Below each value: its change from pull 1."),
        h("thead", {}, h("tr", {}, h("th", { scope: "col" }, "pull"),
            scale && h("th", { scope: "col", class: "from-to" }, "intake, start to end"),
            waits && h("th", { scope: "col" }, "comparable again after"),
            ...told.map((figure) => h("th", { scope: "col", class: "number" }, headOf(figure))))),
        ...days.map((one) => body(day, one, told, scale, waits, formats))));
    formats.onChange(fill);
    fill();
    return region;
}

type Scale = (si: number) => number;

/// Place of a temperature of the intake, 0 .. 1, the same for all pulls.
function scaleOf(pulls: readonly DayPull[]): Scale | null {
    const all = pulls.flatMap(({ figures }) => [figures[start], figures[end]])
        .filter((value) => value !== null && value !== undefined);
    const low = Math.min(...all), span = Math.max(...all) - low;
    const margin = 0.06;
    return span > 0 ? (si) => margin + (1 - 2 * margin) * ((si - low) / span) : null;
}

function body(
    day: Day, { variant, style }: StyledDay, told: readonly Figure[], scale: Scale | null, waits: boolean,
    formats: Formats,
): HTMLElement {
    const ends = variant.pulls.map((p) => p.figures[end] ?? -Infinity);
    const hottest = variant.pulls.length > 1 ? ends.indexOf(Math.max(...ends)) : -1;
    const columns = 1 + Number(scale !== null) + Number(waits) + told.length;
    return h("tbody", {},
        h("tr", { class: "group" }, h("th", { scope: "rowgroup", style: `color: ${style.css}` }, swatch(style, 24), " ",
            h("span", { class: "mark" }, style.mark), variant.name), h("td", { colspan: columns - 1 })),
        ...variant.pulls.map((pull, k) => h("tr", { class: k === hottest ? "hottest" : null },
            h("th", { scope: "row" }, `pull ${k + 1}`, k === hottest && h("span", { class: "below" }, "hottest")),
            scale && h("td", { class: "from-to" }, fromTo(pull, scale, k === hottest), inShort(pull, day, formats)),
            waits && wait(pull),
            ...told.map((figure) => cell(figure, pull, k > 0 ? variant.pulls[0] : null, formats)))));
}

/// A line from the start's temperature to the end's.
function fromTo({ figures }: DayPull, scale: Scale, hottest: boolean): SVGSVGElement | null {
    const [from, to] = [figures[start], figures[end]];
    if (from === null || from === undefined || to === null || to === undefined) return null;
    const [a, b] = [from, to].map((si) => `${(100 * scale(si)).toFixed(2)}%`);
    return svg("svg", { class: "rise", "aria-hidden": "true" },
        svg("line", { x1: a, x2: b, y1: "50%", y2: "50%" }),
        svg("line", { class: "start", x1: a, x2: a, y1: "25%", y2: "75%" }),
        svg("circle", { class: hottest ? "hot" : "end", cx: b, cy: "50%", r: hottest ? 5.5 : 4 }));
}

/// "33.8 to 66.5 °C", where the columns of both are out of sight.
function inShort({ figures }: DayPull, day: Day, formats: Formats): HTMLElement {
    const { unit, decimals } = day.figures.find(({ key }) => key === end)!;
    const text = `${formats.text(unit, figures[start], decimals)} to ${formats.full(unit, figures[end], decimals)}`;
    return h("span", { class: "in-short", "aria-hidden": "true" }, text);
}

function wait({ recovery: { after, watched } }: DayPull): HTMLElement {
    if (watched <= 0) return h("td", {}, missing("nothing was run after it"));
    if (after !== null) return h("td", { class: "wait" }, durationText(after));
    return h("td", { class: "wait" }, h("span", {}, "not within"), ` ${durationText(watched)}`);
}

function cell(figure: Figure, pull: DayPull, first: DayPull | null, formats: Formats): HTMLElement {
    const value = pull.figures[figure.key] ?? null;
    if (value === null) return h("td", { class: "number" }, missing("not in this rig"));
    const reference = first?.figures[figure.key] ?? null;
    return h("td", { class: "number" }, formats.text(figure.unit, value, figure.decimals), reference !== null &&
        h("span", { class: "below" }, formats.signed(figure.difference, value - reference, figure.decimals)));
}

/// A pull as a run of its own, from where the throttle opens.
export function pullRun(variant: DayVariant, k: number, style: VariantStyle, name: string): Run {
    const { rows: [first, last], begin } = variant.steps[variant.pulls[k].step];
    const cut = <T>(values: readonly T[]): T[] => values.slice(first, last + 1);
    const curves = Object.fromEntries(Object.entries(variant.curves)
        .map(([key, values]) => [key, values === null ? null : cut(values)]));
    return {
        style,
        variant: {
            name, title: `${variant.title}: pull ${k + 1}`, failure: null, curves,
            time: cut(variant.time).map((s) => s - begin), speed: cut(variant.speed),
        },
    };
}

/// Which pulls are laid over each other: those of one variant, or one pull of all variants.
export function pullChoices(days: readonly StyledDay[]): { text: string; runs: Run[] }[] {
    const most = Math.max(0, ...days.map(({ variant }) => variant.pulls.length));
    const ofVariant = days.map(({ variant, style }) => {
        const styles = pullStyles(variant.pulls);
        return {
            text: `${days.length > 1 ? `${style.mark} ` : ""}${variant.title}, all pulls`,
            runs: variant.pulls.map((_, k) => pullRun(variant, k, styles[k], `pull ${k + 1}`)),
        };
    });
    const ofNumber = days.length < 2 ? [] : Array.from({ length: most }, (_, k) => ({
        text: `pull ${k + 1} of all variants`,
        runs: days.filter(({ variant }) => k < variant.pulls.length)
            .map(({ variant, style }) => pullRun(variant, k, style, variant.name)),
    }));
    return [...ofVariant, ...ofNumber];
}

/// The section's content; `days` have pulls.
export function pullOverPull(day: Day, days: readonly StyledDay[], formats: Formats): HTMLElement[] {
    const group = new PlotGroup(formats, day.speed_unit);
    const choices = pullChoices(days);
    const several = days.findIndex(({ variant }) => variant.pulls.length > 1);
    const select = h("select", {}, ...choices.map(({ text }, value) => h("option", { value }, text)));
    select.selectedIndex = several >= 0 ? several : choices.length - 1;
    const show = () => group.setData(choices[select.selectedIndex].runs);
    select.addEventListener("change", show);
    group.setOver("time");
    show();
    const places = { time: "time from throttle", speed: "engine speed" };
    const axis = switchOf<Over>("over", places, group.over, (over) => group.setOver(over));
    group.onChange(() => {
        for (const input of axis.querySelectorAll("input")) {
            input.checked = input.value === group.over;
            input.disabled = input.value === "speed" && !group.canUseSpeed;
        }
    });
    const { picker, plots } = chosenPlots(day, group, day.first.pulls, "Pull over pull", {});
    return [
        h("div", { class: "day-controls screen-only" }, h("label", { class: "picker" }, h("span", {}, "Shown"), select),
            axis, wholePull(group)),
        group.key(), picker, plots,
        ...days.map((one) => allFigures(day, one, formats)),
    ];
}

/// Every figure of a variant's pulls against its first.
function allFigures(day: Day, { variant, style }: StyledDay, formats: Formats): HTMLElement {
    const styles = pullStyles(variant.pulls);
    const columns = variant.pulls.map(({ figures }, k) =>
        ({ name: `pull ${k + 1}`, base: k === 0, failure: null, figures }));
    const rows = day.figures.filter(({ key }) => variant.pulls.some((pull) => pull.figures[key] !== null));
    const drawer = h("details", { class: "prints all-figures" },
        h("summary", {}, "All figures, pull after pull: ", h("span", { class: "mark" }, style.mark), variant.title));
    let made = false;
    const make = () => {
        if (!made) drawer.append(figuresTable(rows, columns, styles, formats, `All figures of ${variant.title}`));
        made = true;
    };
    drawer.addEventListener("toggle", () => drawer.open && make());
    addEventListener("beforeprint", make);
    return drawer;
}
