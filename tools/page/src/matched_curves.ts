/// Measured and computed channels over crank speed, and what is left between them.

import type { Curve, Matched, MeasuredChannel, MeasuredPull, Overlay, UnitKey } from "./data";
import { h, scrolling } from "./dom";
import type { PlotGroup, Run } from "./plot";
import { dataTable } from "./table";
import { numberText, type Formats } from "./units";
import { swatch, type VariantStyle } from "./variants";

/// A pull with what it is drawn with.
export interface StyledPull {
    pull: MeasuredPull;
    style: VariantStyle;
}

/// Keys of a channel's curves.
const keys = (channel: string) =>
    ({ computed: channel, measured: `${channel} measured`, residual: `${channel} residual` });

/// What the plots draw: a run for each channel of each pull, since each has bins of its own.
export function overlayRuns(pulls: readonly StyledPull[]): Run[] {
    return pulls.flatMap(({ pull: { name, title, overlays }, style }) => overlays.map((overlay) => {
        const { computed, measured, residual } = keys(overlay.channel);
        const curves = {
            [computed]: overlay.computed, [measured]: overlay.measured, [residual]: residuals(overlay),
        };
        return { variant: { name, title, failure: null, time: [], speed: overlay.speed, curves }, style };
    }));
}

/// Computed less measured, where both are.
export function residuals({ computed, measured }: Pick<Overlay, "computed" | "measured">): (number | null)[] {
    return computed.map((value, row) => {
        const reading = measured[row];
        return value === null || reading === null ? null : value - reading;
    });
}

/// A choice of pulls for the charts: all, those of a variant, or one.
export function pullPicker(pulls: readonly StyledPull[], group: PlotGroup): HTMLElement {
    const drawn = pulls.filter(({ pull }) => pull.overlays.length > 0);
    const variants = [...new Set(drawn.map(({ pull }) => pull.variant))];
    const choices = [
        { text: "all pulls", pulls: drawn },
        ...(variants.length > 1 ? variants : []).map((variant) =>
            ({ text: `all of ${variant}`, pulls: drawn.filter(({ pull }) => pull.variant === variant) })),
        ...drawn.map((one) => ({ text: `${one.style.mark} ${one.pull.name}`, pulls: [one] })),
    ];
    const select = h("select", {}, ...choices.map(({ text }, value) => h("option", { value }, text)));
    const choose = () => group.setData(overlayRuns(choices[select.selectedIndex].pulls));
    select.addEventListener("change", choose);
    choose();
    return h("label", { class: "picker" }, h("span", {}, "Charts show"), select);
}

/// One block a channel: both, what is left, figures of that, and the data.
export function overlayCharts(page: Matched, pulls: readonly StyledPull[], group: PlotGroup): HTMLElement {
    const blocks = page.channels.map((channel) => {
        const rows = pulls.flatMap(({ pull, style }) => pull.overlays.flatMap((overlay) =>
            overlay.channel === channel.key ? { pull, style, overlay } : []));
        return rows.length === 0 ? null : block(channel, rows, page.speed_unit, group);
    });
    return h("div", { class: "charts" }, ...blocks);
}

interface Row extends StyledPull {
    overlay: Overlay;
}

function block(channel: MeasuredChannel, rows: readonly Row[], speed: UnitKey, group: PlotGroup): HTMLElement {
    const { computed, measured, residual } = curvesOf(channel);
    group.reach[residual.key] = [0, 0];
    const charts = { title: channel.label };
    return h("section", { class: "chart plots-1", "aria-label": channel.label },
        h("h3", {}, channel.label, !channel.fitted && h("span", { class: "note" }, " (compared, not fitted)")),
        group.key(),
        h("div", { class: "plots" },
            group.add({ ...computed, label: "measured and computed", doc: "points: measured; lines: the fitted rig" },
                measured, { points: true }),
            group.add(residual, null, { low: true })),
        residualTable(channel, rows, speed, group.formats),
        dataTable(charts, [measured, computed, residual], group, "pulls shown"));
}

function curvesOf({ key, unit, difference, decimals }: MeasuredChannel): Record<keyof ReturnType<typeof keys>, Curve> {
    const { computed, measured, residual } = keys(key);
    const common = { unit, difference, decimals, doc: "", band: null };
    return {
        computed: { ...common, key: computed, label: "computed" },
        measured: { ...common, key: measured, label: "measured" },
        residual: { ...common, key: residual, label: "computed less measured", unit: difference },
    };
}

function residualTable(
    channel: MeasuredChannel, rows: readonly Row[], speed: UnitKey, formats: Formats,
): HTMLElement {
    const region = scrolling(`${channel.label}, computed less measured`);
    const fill = () => region.replaceChildren(table(channel, rows, speed, formats));
    formats.onChange(fill);
    fill();
    return region;
}

function table(
    channel: MeasuredChannel, rows: readonly Row[], speed: UnitKey, formats: Formats,
): HTMLTableElement {
    const headed = (text: string, unit: UnitKey) => [text, formats.unit(unit)].filter((part) => part !== "").join(", ");
    const heads = [
        headed("RMS", channel.difference), headed("worst", channel.difference), headed("at", speed),
        "correlation of neighbours",
    ];
    return h("table", { class: "residuals" },
        h("caption", { class: "unseen" }, `${channel.label}, computed less measured`),
        h("thead", {}, h("tr", {}, h("th", { scope: "col" }, "pull"),
            ...heads.map((text) => h("th", { scope: "col", class: "number" }, text)))),
        h("tbody", {}, ...rows.map(({ pull, style, overlay }) => h("tr", {}, pullHead(pull, style, "row"),
            ...residualTexts(channel, overlay, speed, formats).map((text) => h("td", { class: "number" }, text))))));
}

/// RMS, worst, where that is, and the neighbours' correlation as shown.
function residualTexts(
    { difference, decimals }: MeasuredChannel, { rms, worst, worst_speed, lag_correlation }: Overlay, speed: UnitKey,
    formats: Formats,
): string[] {
    return [
        formats.text(difference, rms, decimals), formats.signed(difference, worst, decimals),
        formats.text(speed, worst_speed, 0), lag_correlation === null ? "\u2013" : numberText(lag_correlation, 2),
    ];
}

/// A pull as the head of a row or column.
export const pullHead = ({ name, title }: MeasuredPull, style: VariantStyle, scope: "row" | "col"): HTMLElement =>
    h("th", { scope, class: scope === "col" ? "number" : null, title, style: `color: ${style.css}` },
        scope === "row" && swatch(style, 24), h("span", { class: "mark" }, style.mark), name);
