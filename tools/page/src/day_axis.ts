/// The whole day on one axis: curves of all variants, its steps as bands above them, and ways into a step and back.

import type uPlot from "uplot";

import type { Day, DayStep } from "./data";
import { ClockGroup, chosenPlots, clockText, durationText, type StyledDay } from "./day_clock";
import { h, scrolling } from "./dom";
import type { Run } from "./plot";
import type { Formats } from "./units";
import { swatch } from "./variants";

/// Variants whose steps lie alike share a strip.
interface Strip {
    days: StyledDay[];
    steps: DayStep[];
    titles: string[]; // "pull 2", "idles"
}

/// "pull 2" for pulls, the step's own title for others.
export function stepTitles(steps: readonly DayStep[]): string[] {
    let pulls = 0;
    return steps.map(({ kind, title }) => (kind === "pull" ? `pull ${++pulls}` : title));
}

const alike = 0.02; // of the day: steps that lie closer are drawn as one

/// Groups of variants whose steps are the same and lie alike.
export function stripsOf(days: readonly StyledDay[]): Strip[] {
    const strips: Strip[] = [];
    for (const day of days.filter(({ variant }) => variant.steps.length > 0)) {
        const { steps } = day.variant;
        const slack = alike * steps[steps.length - 1].end;
        const same = strips.find((strip) => strip.steps.length === steps.length && strip.steps.every((step, k) =>
            step.name === steps[k].name && step.early === steps[k].early &&
            Math.abs(step.begin - steps[k].begin) <= slack && Math.abs(step.end - steps[k].end) <= slack));
        if (same) same.days.push(day);
        else strips.push({ days: [day], steps, titles: stepTitles(steps) });
    }
    return strips;
}

class DayGroup extends ClockGroup {
    override placeText(place: number): string {
        const first = this.days[0]?.variant.steps ?? [];
        const titles = stepTitles(first);
        const k = first.findIndex((step) => place >= step.begin && place <= step.end);
        return super.placeText(place) + (k < 0 || this.strips > 1 ? "" : ` (${titles[k]})`);
    }
    days: readonly StyledDay[] = [];
    strips = 1;

    /// Pulls are shaded.
    override drawUnder(u: uPlot): void {
        const { ctx } = u;
        ctx.save();
        ctx.fillStyle = this.dark ? "#ebe6dc1c" : "#1c1b1914";
        ctx.beginPath();
        for (const { variant } of this.days)
            for (const { kind, begin, end } of variant.steps) {
                if (kind !== "pull") continue;
                const [left, right] = [begin, end].map((s) => u.valToPos(s, "x", true));
                const from = Math.max(u.bbox.left, left), to = Math.min(u.bbox.left + u.bbox.width, right);
                if (to > from) ctx.rect(from, u.bbox.top, Math.max(1, to - from), u.bbox.height);
            }
        ctx.fill(); // at once: where pulls of two variants lie over each other it is no darker
        ctx.restore();
    }
}

/// The section's content.
export function dayAxis(day: Day, all: readonly StyledDay[], formats: Formats): HTMLElement[] {
    const days = all.filter(({ variant }) => variant.steps.length > 0);
    const group = new DayGroup(formats, day.speed_unit, "time of the day");
    const runs = (shown: readonly StyledDay[]): Run[] =>
        shown.map(({ variant: { name, title, time, speed, curves }, style }) =>
            ({ variant: { name, title, failure: null, time, speed, curves }, style }));
    const strip = new StepStrip(group, formats);
    const show = (shown: readonly StyledDay[]) => {
        group.days = shown;
        group.strips = stripsOf(shown).length;
        strip.show(stripsOf(shown));
        group.setData(runs(shown));
    };
    show(days);
    const { picker, plots } = chosenPlots(day, group, day.first.day, "The day", { low: true, wide: true });
    return [
        h("p", { class: "aside screen-only" }, "Shaded: pulls. Press a step in the strip, or choose it in the " +
            "list, to see it alone; point at a chart to read all of them at one time; drag along it to enlarge a part, " +
            "and press twice for the whole day. With the keyboard: arrow keys, Home and End, plus and minus, and 0 for " +
            "the whole day. Lines are broken where a pull settles at its start speed before the throttle opens."),
        h("div", { class: "day-controls screen-only" }, variantChoice(days, show), strip.controls),
        group.key(), picker,
        h("div", { class: "day-frame" }, strip.element, plots),
        stepTable(days, formats),
    ];
}

/// All variants, or one.
function variantChoice(days: readonly StyledDay[], show: (shown: readonly StyledDay[]) => void): HTMLElement | null {
    if (days.length < 2) return null;
    const choices = [{ text: "all variants", shown: days },
        ...days.map((one) => ({ text: `${one.style.mark} ${one.variant.title}`, shown: [one] }))];
    const select = h("select", {}, ...choices.map(({ text }, value) => h("option", { value }, text)));
    select.addEventListener("change", () => show(choices[select.selectedIndex].shown));
    return h("label", { class: "picker" }, h("span", {}, "Variants"), select);
}

/// Where steps lie on the axis of the plots below; each is a way into it.
class StepStrip {
    readonly element = h("div", { class: "step-strips" });
    readonly controls: HTMLElement;
    private readonly select = h("select", {});
    private readonly earlier = this.button("\u2039 earlier", () => this.go(-1));
    private readonly later = this.button("later \u203a", () => this.go(1));
    private readonly whole = this.button("Whole day", () => this.group.whole());
    private strips: Strip[] = [];
    private windows: [number, number][] = []; // of all steps of all strips, in the order of the choice

    constructor(private readonly group: DayGroup, formats: Formats) {
        const controls = { class: "step-choice", role: "group", "aria-label": "Which part of the day is shown" };
        this.controls = h("div", controls,
            h("label", { class: "picker" }, h("span", {}, "Step"), this.select), this.earlier, this.later, this.whole);
        this.select.addEventListener("change", () => {
            const k = Number(this.select.value);
            if (k < 0) group.whole();
            else this.enter(k);
        });
        group.onChange(() => this.place());
        formats.onChange(() => this.show(this.strips));
    }

    private button(text: string, press: () => void): HTMLButtonElement {
        return h("button", { type: "button", onclick: press }, text);
    }

    /// Fills strips and choice.
    show(strips: Strip[]): void {
        this.strips = strips;
        this.windows = [];
        this.element.replaceChildren(...strips.map((strip) => this.strip(strip)));
        let k = 0;
        const text = ({ begin, end }: DayStep) => `${clockText(begin)}, ${durationText(end - begin)}`;
        const options = (strip: Strip) => strip.steps.map((step, i) =>
            h("option", { value: k++ }, `${strip.titles[i]}, ${text(step)}`));
        const names = (strip: Strip) => strip.days.map(({ variant }) => variant.name).join(", ");
        this.select.replaceChildren(h("option", { value: -1 }, "whole day"), ...strips.flatMap((strip) =>
            strips.length === 1 ? options(strip) : [h("optgroup", { label: names(strip) }, ...options(strip))]));
        this.place();
    }

    private strip(strip: Strip): HTMLElement {
        const names = strip.days.map(({ style }) =>
            h("span", { class: "mark", style: `color: ${style.css}` }, style.mark));
        const bands = strip.steps.flatMap((step, k) => {
            const at = this.windows.length;
            const all = strip.days.map(({ variant }) => variant.steps[k]);
            this.windows.push([Math.min(...all.map((s) => s.begin)), Math.max(...all.map((s) => s.end))]);
            return this.band(step, strip.titles[k], at);
        });
        return h("div", { class: "step-strip" },
            h("span", { class: "strip-names" }, ...(this.strips.length > 1 ? names : [])),
            h("div", { class: "strip-bands" }, ...bands));
    }

    private band(step: DayStep, title: string, at: number): HTMLElement {
        const { formats } = this.group;
        const ended = formats.sentence(step.ended[formats.system]);
        const text = `${title}: ${clockText(step.begin)} to ${clockText(step.end)}, ended by ${ended}`;
        const short = step.kind === "pull" ? title.replace("pull ", "") : title;
        return h("button", {
            type: "button", class: `band ${step.kind}${step.early ? " early" : ""}`, title: text, "aria-label": text,
            tabindex: -1, "data-step": at, onclick: () => (this.isIn(at) ? this.group.whole() : this.enter(at)),
        }, h("span", { class: "band-name" }, short), h("span", { class: "band-body" }, step.early && earlyMark()));
    }

    private enter(at: number): void {
        this.group.zoom(...this.windows[at]);
    }

    private isIn(at: number): boolean {
        const [from, to] = this.group.window, [begin, end] = this.windows[at];
        return this.group.isZoomed && Math.abs(from - begin) < 1e-6 && Math.abs(to - end) < 1e-6;
    }

    private go(by: number): void {
        const now = this.windows.findIndex((_, k) => this.isIn(k));
        const next = now < 0 ? (by > 0 ? 0 : this.windows.length - 1) : now + by;
        if (next >= 0 && next < this.windows.length) this.enter(next);
    }

    /// Puts the bands where the plots show their times.
    private place(): void {
        const [from, to] = this.group.window;
        const share = (s: number) => Math.min(1, Math.max(0, (s - from) / (to - from)));
        const steps = this.strips.flatMap((strip) => strip.steps);
        let inside = -1;
        for (const band of this.element.querySelectorAll<HTMLElement>(".band")) {
            const k = Number(band.dataset.step);
            const [left, right] = [share(steps[k].begin), share(steps[k].end)];
            band.hidden = right <= left;
            band.style.left = `${100 * left}%`;
            band.style.width = `${100 * (right - left)}%`;
            if (this.isIn(k)) inside = k;
            band.setAttribute("aria-pressed", String(this.isIn(k)));
        }
        const known = this.group.isZoomed && inside < 0;
        this.select.querySelector(".other")?.remove();
        if (known) this.select.prepend(h("option", { value: -2, class: "other", disabled: true }, "a part"));
        this.select.value = String(known ? -2 : inside);
        this.whole.disabled = !this.group.isZoomed;
        this.earlier.disabled = inside === 0;
        this.later.disabled = inside === this.windows.length - 1 && inside >= 0;
    }
}

const earlyMark = (): HTMLElement => h("span", { class: "early-mark", "aria-hidden": "true" }, "\u22a3");

/// All steps in figures.
function stepTable(days: readonly StyledDay[], formats: Formats): HTMLElement {
    const region = scrolling("Steps of the day");
    const row = (step: DayStep, title: string) => h("tr", {},
        h("th", { scope: "row" }, title), h("td", { class: "number" }, clockText(step.begin, 1)),
        h("td", { class: "number" }, clockText(step.end - step.begin, 1)),
        h("td", {}, step.early && earlyMark(), step.early && "early: ",
            formats.sentence(step.ended[formats.system])));
    const body = ({ variant, style }: StyledDay) => {
        const titles = stepTitles(variant.steps);
        return h("tbody", {},
            h("tr", { class: "group" }, h("th", { scope: "rowgroup", colspan: 4, style: `color: ${style.css}` },
                swatch(style, 24), " ", h("span", { class: "mark" }, style.mark), variant.title)),
            ...variant.steps.map((step, k) => row(step, titles[k])));
    };
    const fill = () => region.replaceChildren(h("table", { class: "steps-of-day" },
        h("caption", { class: "unseen" }, "Steps of the day"),
        h("thead", {}, h("tr", {}, h("th", { scope: "col" }, "step"),
            ...["begins, min:s", "lasts, min:s"].map((text) => h("th", { scope: "col", class: "number" }, text)),
            h("th", { scope: "col" }, "ended by"))),
        ...days.map(body)));
    formats.onChange(fill);
    fill();
    return h("details", { class: "prints" },
        h("summary", {}, "All steps: when they begin, how long they last, what ended them"), region);
}

