/// Where the heat of each pull went: what is stored and what has left, as bars on one scale and as a table.

import type { Day, DayPull } from "./data";
import { shareText, type StyledDay } from "./day_clock";
import { h, scrolling } from "./dom";
import { spoken } from "./report";
import { numberText, type Formats } from "./units";

const energy = "J|heat";
const decimals = 1;
const roomForText = 0.075; // of the bar's width

type Item = Day["heat"][number];
type Metered = DayPull & { heat: NonNullable<DayPull["heat"]> };

/// A part of a bar, in fractions of its width.
export interface Piece {
    key: string;
    left: number;
    width: number;
}

/// Pieces one behind the other to the right of `zero`; what is negative to its left. The width stands for `whole`.
export function piecesOf(values: readonly (readonly [string, number])[], zero: number, whole: number): Piece[] {
    let right = zero, left = zero;
    return values.map(([key, value]) => {
        const width = Math.abs(value) / whole;
        if (value < 0) left -= width;
        const piece = { key, left: value < 0 ? left : right, width };
        if (value >= 0) right += width;
        return piece;
    });
}

/// The section's content.
export function heatOfPulls(day: Day, days: readonly StyledDay[], formats: Formats): HTMLElement[] {
    const metered = days.flatMap(({ variant, style }) => {
        const pulls = variant.pulls.flatMap((pull, k) => (pull.heat ? [{ pull: pull as Metered, k }] : []));
        return pulls.length > 0 ? [{ variant, style, pulls }] : [];
    });
    if (metered.length === 0) return [h("p", {}, "This rig does not meter where its heat goes.")];
    const items = day.heat.filter(({ side }) => side !== "in");
    const all = metered.flatMap(({ pulls }) => pulls.map(({ pull }) => pull.heat));
    const sum = (heat: Metered["heat"], sign: number) =>
        items.reduce((total, { key }) => total + Math.max(0, sign * heat[key]), 0);
    const back = Math.max(0, ...all.map((heat) => sum(heat, -1)));
    const whole = back + Math.max(...all.map((heat) => sum(heat, 1)));
    const bars = metered.map(({ variant, style, pulls }) => h("div", { class: "heat-group" },
        h("h3", { style: `color: ${style.css}` }, h("span", { class: "mark" }, style.mark), variant.title),
        ...pulls.map(({ pull, k }) => bar(day, pull, `pull ${k + 1}`, items, back / whole, whole, formats)),
        table(day, variant.title, pulls, formats),
        h("details", { class: "prints" }, h("summary", {}, "The same in words"),
            ...pulls.map(({ pull }) => spoken(formats, pull.heat_words)))));
    return [legend(items, back > 0), ...bars];
}

function legend(items: readonly Item[], back: boolean): HTMLElement {
    const side = (name: "stored" | "left", title: string) => h("li", {}, h("strong", {}, title),
        ...items.filter(({ side }) => side === name).map(({ key, label, doc }) =>
            h("span", { class: "heat-key", title: doc }, h("span", { class: `sample piece ${key}` }), label)));
    return h("div", {},
        h("ul", { class: "heat-legend" }, side("stored", "Stored in"), side("left", "Left through")),
        back && h("p", { class: "aside" },
            "Left of the line: heat that came in that way or out of store, on top of the work."));
}

function bar(
    day: Day, pull: Metered, name: string, items: readonly Item[], zero: number, whole: number, formats: Formats,
): HTMLElement {
    const work = inflow(day, pull);
    const pieces = piecesOf(items.map(({ key }) => [key, pull.heat[key]] as const), zero, whole);
    const element = h("div", { class: "heat-pieces", role: "img" });
    const amount = h("span", { class: "heat-work" });
    const fill = () => {
        amount.textContent = formats.full(energy, work, 0);
        const texts = items.map(({ key, label }) =>
            `${label} ${formats.full(energy, pull.heat[key], decimals)}, ${shareText(pull.heat[key], work)}`);
        element.setAttribute("aria-label", `${name}: ${texts.join("; ")}`);
        element.replaceChildren(
            ...pieces.map(({ key, left, width }, k) => h("span", {
                class: `piece ${key} ${items[k].side}`, title: texts[k], "data-key": key,
                style: `left: ${(100 * left).toFixed(3)}%; width: ${(100 * width).toFixed(3)}%`,
            }, width > roomForText && h("span", {}, shareText(pull.heat[key], work)))),
            h("span", { class: "heat-zero", style: `left: ${(100 * zero).toFixed(3)}%` }));
    };
    formats.onChange(fill);
    fill();
    return h("div", { class: "heat-row" }, h("span", { class: "heat-name" }, name, amount), element);
}

const inflow = (day: Day, { heat }: Metered): number =>
    day.heat.filter(({ side }) => side === "in").reduce((sum, { key }) => sum + heat[key], 0);

function table(day: Day, title: string, pulls: readonly { pull: Metered; k: number }[], formats: Formats): HTMLElement {
    const caption = `Energy of each pull, ${title}`;
    const region = scrolling(caption);
    const sides = [["in", "all that went in"], ["stored", "all stored"], ["left", "all that left"]];
    const cells = (value: (pull: Metered) => number) => pulls.map(({ pull }) => h("td", { class: "number" },
        formats.text(energy, value(pull), decimals),
        h("span", { class: "below" }, shareText(value(pull), inflow(day, pull)))));
    const block = ([side, total]: string[]) => {
        const own = day.heat.filter((item) => item.side === side);
        return h("tbody", {},
            ...own.map(({ key, label, doc }) =>
                h("tr", {}, h("th", { scope: "row", title: doc }, label), ...cells(({ heat }) => heat[key]))),
            h("tr", { class: "total" }, h("th", { scope: "row" }, total),
                ...cells(({ heat }) => own.reduce((sum, { key }) => sum + heat[key], 0))));
    };
    const residual = ({ residual }: Metered) => (residual === null ? "–" : numberText(residual, -1));
    const fill = () => region.replaceChildren(h("table", { class: "heat-table" },
        h("caption", { class: "unseen" }, caption),
        h("thead", {}, h("tr", {}, h("th", { scope: "col" }, `${formats.unit(energy)}, below: of all that went in`),
            ...pulls.map(({ k }) => h("th", { scope: "col", class: "number" }, `pull ${k + 1}`)))),
        ...sides.map(block),
        h("tbody", {}, h("tr", {}, h("th", { scope: "row" }, "residual of the energy ledger, of what passed through"),
            ...pulls.map(({ pull }) => h("td", { class: "number" }, residual(pull)))))));
    formats.onChange(fill);
    fill();
    return h("details", { class: "prints" }, h("summary", {}, "The same in figures"), region);
}

