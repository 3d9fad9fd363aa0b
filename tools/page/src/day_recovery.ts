/// How the start of the first pull comes back after each pull: curves above it, what counts as near enough, and when.

import type uPlot from "uplot";

import type { Curve, Day, DayVariant } from "./data";
import { ClockGroup, clockText, durationText, type StyledDay } from "./day_clock";
import { pullStyles } from "./day_pulls";
import { h, scrolling } from "./dom";
import { missing } from "./figures";
import type { Run } from "./plot";
import { spoken, spokenList } from "./report";
import { dataTable } from "./table";
import type { Formats } from "./units";
import { swatch, type VariantStyle } from "./variants";

const intake = "intake above pull 1", coolant = "coolant above pull 1";

/// What was run after each pull, up to the next one, above the first pull's start.
export function recoveryRuns(day: Day, variant: DayVariant, styles: readonly VariantStyle[]): Run[] {
    const { steps, pulls, start } = variant;
    const { intake_curve, coolant_curve } = day.comparable;
    return pulls.flatMap(({ step, recovery }, k) => {
        if (recovery.watched <= 0) return [];
        const next = pulls[k + 1]?.step ?? steps.length;
        const from = steps[step].rows[1] + 1, to = steps[next - 1].rows[1] + 1;
        const above = (key: string, reference: number | null) => (variant.curves[key] ?? []).slice(from, to)
            .map((value) => (value === null || reference === null ? null : value - reference));
        const time = variant.time.slice(from, to).map((s) => s - steps[step].end);
        const curves = { [intake]: above(intake_curve, start.intake), [coolant]: above(coolant_curve, start.coolant) };
        const name = `pull ${k + 1}`;
        return [{
            style: styles[k],
            variant: { name: `after ${name}`, title: `${variant.title}: after ${name}`, failure: null, time,
                speed: time.map(() => 0), curves },
        }];
    });
}

/// The section's content; `days` have pulls.
export function recoveries(day: Day, all: readonly StyledDay[], formats: Formats): HTMLElement[] {
    const days = all.filter(({ variant }) => variant.pulls.some((pull) => pull.recovery.watched > 0));
    if (days.length === 0) return [h("p", {}, "Nothing was run after a pull.")];
    const group = new RecoveryGroup(formats, day.speed_unit, "time after the pull's end");
    const near = { [intake]: day.comparable.intake, [coolant]: day.comparable.coolant };
    group.near = near;
    for (const [key, size] of Object.entries(near)) group.reach[key] = [-size, size];
    const show = ({ variant }: StyledDay) => {
        const styles = pullStyles(variant.pulls);
        group.marks = variant.pulls.flatMap(({ recovery: { after } }, k) =>
            (after === null ? [] : [{ at: after, style: styles[k] }]));
        group.setData(recoveryRuns(day, variant, styles));
    };
    const select = h("select", {}, ...days.map(({ variant, style }, value) =>
        h("option", { value }, `${style.mark} ${variant.title}`)));
    select.addEventListener("change", () => show(days[select.selectedIndex]));
    show(days[0]);
    const { intake_curve, coolant_curve } = day.comparable;
    const curves = [curveOf(day, intake, intake_curve), curveOf(day, coolant, coolant_curve)];
    const doc = "shaded: near enough";
    return [
        spoken(formats, day.comparable.words),
        waits(day, days, formats),
        h("div", { class: "day-controls screen-only" }, days.length > 1 &&
            h("label", { class: "picker" }, h("span", {}, "Variant"), select)),
        group.key(),
        h("div", { class: "charts recovery-charts" }, h("div", { class: "chart plots-2" },
            h("div", { class: "plots" }, ...curves.map((curve) => group.add({ ...curve, doc }))),
            dataTable({ title: "After each pull" }, curves, group, "pulls"))),
        h("details", { class: "prints" }, h("summary", {}, "The same in words"),
            ...days.flatMap(({ variant, style }) => [
                h("p", { style: `color: ${style.css}` }, h("span", { class: "mark" }, style.mark), variant.title),
                spokenList(formats, lines(variant)),
            ])),
    ];
}

const lines = (variant: DayVariant): Record<"metric" | "us", string[]> => {
    const of = (system: "metric" | "us") =>
        variant.pulls.map(({ recovery }) => recovery.words[system]).filter((text) => text !== "");
    return { metric: of("metric"), us: of("us") };
};

function curveOf(day: Day, key: string, of: string): Curve {
    const { difference, decimals } = day.curves.find((curve) => curve.key === of)!;
    const label = `${key.split(" ")[0]} above the start of pull 1`;
    return { key, label, unit: difference, difference, decimals, doc: "", band: null };
}

class RecoveryGroup extends ClockGroup {
    near: Record<string, number> = {};
    marks: { at: number; style: VariantStyle }[] = [];

    /// What counts as the first pull's start.
    override drawUnder(u: uPlot, curve: Curve): void {
        const near = this.formats.shown(curve.unit, this.near[curve.key]);
        const [top, bottom] = [near, -near].map((y) => u.valToPos(y, "y", true));
        u.ctx.save();
        u.ctx.fillStyle = this.dark ? "#ebe6dc1c" : "#1c1b1914";
        const high = Math.max(u.bbox.top, top), low = Math.min(u.bbox.top + u.bbox.height, bottom);
        u.ctx.fillRect(u.bbox.left, high, u.bbox.width, low - high);
        u.ctx.restore();
    }

    /// When both are back: a rule with its time.
    override drawOver(u: uPlot, _curve: Curve, k: number): void {
        const { ctx, bbox } = u;
        const pixel = k * devicePixelRatio;
        ctx.save();
        ctx.font = `600 ${11.5 * pixel}px system-ui, sans-serif`;
        ctx.textBaseline = "top";
        this.marks.forEach(({ at, style }, row) => {
            const x = u.valToPos(at, "x", true);
            if (x < bbox.left || x > bbox.left + bbox.width) return;
            ctx.strokeStyle = ctx.fillStyle = style.ink[this.dark ? 1 : 0];
            ctx.lineWidth = 1.2 * pixel;
            ctx.setLineDash([2 * pixel, 2 * pixel]);
            ctx.beginPath();
            ctx.moveTo(x, bbox.top);
            ctx.lineTo(x, bbox.top + bbox.height);
            ctx.stroke();
            ctx.textAlign = x > bbox.left + 0.8 * bbox.width ? "right" : "left";
            ctx.fillText(`${style.mark}: ${clockText(at)}`, x + (ctx.textAlign === "left" ? 4 : -4) * pixel,
                bbox.top + row * 14 * pixel);
        });
        ctx.restore();
    }
}

/// One row a pull.
function waits(day: Day, days: readonly StyledDay[], formats: Formats): HTMLElement {
    const region = scrolling("How long to wait");
    const curve = (key: string) => day.curves.find((c) => c.key === key)!;
    const [air, water] = [curve(day.comparable.intake_curve), curve(day.comparable.coolant_curve)];
    const left = ({ difference, decimals }: Curve, si: number | null) =>
        h("td", { class: "number" },
            si === null ? missing("not in this rig") : formats.signed(difference, si, decimals));
    const fill = () => region.replaceChildren(h("table", { class: "waits" },
        h("caption", { class: "unseen" }, "How long to wait"),
        h("thead", {}, h("tr", {}, h("th", { scope: "col" }, "after"), h("th", { scope: "col" }, "comparable again after"),
            h("th", { scope: "col", class: "number" }, "was run, min:s"),
            ...([["intake", air], ["coolant", water]] as const).map(([name, { difference }]) =>
                h("th", { scope: "col", class: "number" }, `${name} off at its end, ${formats.unit(difference)}`)))),
        ...days.map(({ variant, style }) => h("tbody", {},
            h("tr", { class: "group" }, h("th", { scope: "rowgroup", colspan: 5, style: `color: ${style.css}` },
                swatch(style, 24), " ", h("span", { class: "mark" }, style.mark), variant.title)),
            ...variant.pulls.flatMap(({ recovery: { after, watched, intake_left, coolant_left } }, k) => (watched <= 0 ? [] :
                h("tr", {}, h("th", { scope: "row" }, `pull ${k + 1}`),
                    h("td", {}, after === null ? "not within what was run" : h("strong", {}, durationText(after))),
                    h("td", { class: "number" }, clockText(watched)), left(air, intake_left), left(water, coolant_left))))))));
    formats.onChange(fill);
    fill();
    return region;
}
