/// The variant table: one row a figure, one column a variant, with the signed difference against the base below.

import "./figures.css";

import type { Figure, Variant } from "./data";
import { h, scrolling } from "./dom";
import type { Formats } from "./units";
import { swatch, type VariantStyle } from "./variants";

/// What has figures: a variant, or a pull of a day.
type Compared = Pick<Variant, "name" | "base" | "failure" | "figures">;

/// Makes the table; it follows the unit system.
export function figuresTable(
    figures: readonly Figure[], variants: readonly Compared[], styles: readonly VariantStyle[], formats: Formats,
    title = "Figures of all variants",
): HTMLElement {
    const region = scrolling(title);
    const fill = () => region.replaceChildren(table(figures, variants, styles, formats));
    formats.onChange(fill);
    fill();
    return region;
}

/// The table as it stands now.
export function table(
    figures: readonly Figure[], variants: readonly Compared[], styles: readonly VariantStyle[], formats: Formats,
): HTMLTableElement {
    const base = variants.find((v) => v.base) ?? null;
    const head = h("tr", {}, h("th", { scope: "col" }, "figure"), h("th", { scope: "col", class: "unit" }, "unit"),
        ...variants.map((variant, i) => columnHead(variant, styles[i])));
    const groups = [...new Set(figures.map((f) => f.group))];
    const bodies = groups.map((group) => h("tbody", {},
        h("tr", { class: "group" }, h("th", { scope: "rowgroup" }, group), h("td", { colspan: variants.length + 1 })),
        ...figures.filter((f) => f.group === group).map((figure) =>
            h("tr", {}, rowHead(figure, formats), h("td", { class: "unit" }, formats.unit(figure.unit)),
                ...variants.map((variant) => cell(figure, variant, base, formats))))));
    const caption = base && variants.length > 1 && `Below each value: its difference from ${base.name}.`;
    const compared = caption && h("caption", {}, caption);
    return h("table", { class: "figures" }, compared, h("thead", {}, head), ...bodies);
}

function columnHead(variant: Compared, style: VariantStyle): HTMLElement {
    return h("th", { scope: "col", class: "variant" }, swatch(style),
        h("span", { style: `color: ${style.css}` }, h("span", { class: "mark" }, style.mark), variant.name),
        h("span", { class: "below" }, variant.failure !== null ? "did not finish" : variant.base ? "base" : ""));
}

function rowHead(figure: Figure, formats: Formats): HTMLElement {
    const label = figure.label.trimStart();
    const unit = formats.unit(figure.unit);
    return h("th", { scope: "row", class: label === figure.label ? null : "indented" }, label,
        unit !== "" && h("span", { class: "unit-narrow", "aria-hidden": "true" }, `, ${unit}`),
        h("span", { class: "below" }, figure.doc));
}

function cell(figure: Figure, variant: Compared, base: Compared | null, formats: Formats): HTMLElement {
    const value = variant.figures[figure.key] ?? null;
    const reason = variant.failure === null ? "not in this rig" : "did not finish";
    if (value === null) return h("td", { class: "number" }, missing(reason));
    const reference = base?.figures[figure.key] ?? null;
    const compare = !variant.base && reference !== null && figure.decimals >= 0;
    const change = compare && formats.signed(figure.difference, value - reference, figure.decimals);
    return h("td", { class: "number" }, formats.text(figure.unit, value, figure.decimals),
        change && h("span", { class: "below" }, change));
}

/// A dash that is read out as what it means.
export function missing(reason: string): DocumentFragment {
    const fragment = document.createDocumentFragment();
    fragment.append(h("span", { "aria-hidden": "true" }, "–"), h("span", { class: "unseen" }, reason));
    return fragment;
}
