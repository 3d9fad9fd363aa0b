/// Measured pulls: what parts did under the same conditions, and how well the rig follows the pulls that say so.

import "./matched.css";

import type { Matched } from "./data";
import { h, scrolling } from "./dom";
import { causes, explainedFigure, named, pictureNote } from "./explained";
import { missing } from "./figures";
import { overlayCharts, pullHead, pullPicker, type StyledPull } from "./matched_curves";
import { comparisons } from "./matched_figures";
import { fitted } from "./matched_fit";
import { PlotGroup } from "./plot";
import { firstScreenFirst, head, list, section, spoken, spokenList, unitsSwitch, wholePull } from "./report";
import { Formats } from "./units";
import { swatch, variantStyles } from "./variants";

/// Renders the measured pulls into the page's body.
export function renderMatched(page: Matched): void {
    const formats = new Formats(page.units, page.system);
    const styles = variantStyles(page.pulls.map((_, i) => ({ base: i === 0 })));
    const pulls = page.pulls.map((pull, i) => ({ pull, style: styles[i] }));
    const group = new PlotGroup(formats, page.speed_unit);
    const charts = overlayCharts(page, pulls, group);
    const some = (items: readonly unknown[], title: string, content: () => HTMLElement[]) =>
        items.length > 0 ? [section(title, ...content())] : [];
    const { explanations, how_to_read } = page;
    document.title = page.study.title;
    document.body.classList.add("matched");
    document.body.append(
        head(page, formats),
        h("main", {},
            h("div", { class: "bar", role: "group", "aria-label": "How the page is shown" },
                unitsSwitch(formats), pullPicker(pulls, group), wholePull(group)),
            ...some(page.comparisons, "What the parts did under the same conditions", () => comparisons(page, formats)),
            ...some(page.checklist, "Were the pulls alike?", () => [checklist(page, formats)]),
            section("The pulls", pullList(pulls, formats), conditions(page, pulls, formats)),
            section("Measured and simulated", charts),
            ...some(page.parameters, "What was fitted", () => fitted(page, formats)),
            ...some(explanations, `Why the ${explanations.length > 1 ? "" : "two "}pulls differ`,
                () => explanations.flatMap((explanation) => explained(explanation, formats))),
            ...some(how_to_read[formats.system], "How to read this", () => [spokenList(formats, how_to_read)]),
            section("Cautions", list(page.cautions, formats, "cautions")),
            section("How this was computed", provenance(page))));
    firstScreenFirst();
}

const signs = { alike: "=", differs: "\u2260", unknown: "?" };

function checklist(page: Matched, formats: Formats): HTMLElement {
    const rows = page.checklist.map(({ item, state, words }) => h("tr", {},
        h("th", { scope: "row" }, item),
        h("td", { class: "state" },
            h("span", { class: "mark", "aria-hidden": "true" }, signs[state]), h("strong", {}, state)),
        h("td", {}, spoken(formats, words, "span"))));
    return scrolling("Checklist", h("table", { class: "checklist" },
        h("thead", {}, h("tr", {}, ...["what", "state", "how far"].map((text) => h("th", { scope: "col" }, text)))),
        h("tbody", {}, ...rows)));
}

function pullList(pulls: readonly StyledPull[], formats: Formats): HTMLElement {
    return h("ul", { class: "variants" }, ...pulls.map(({ pull, style }) => h("li", {},
        h("p", { class: "variant-name" }, swatch(style, 36),
            h("strong", { style: `color: ${style.css}` }, h("span", { class: "mark" }, style.mark), pull.name),
            h("span", {}, pull.title === pull.name ? "" : pull.title)),
        h("p", { class: "aside" }, `${pull.variant}; ${pull.log}, ${pull.lines}`),
        spokenList(formats, pull.remarks))));
}

/// One column a pull, the last is what all variants are brought to.
function conditions(page: Matched, pulls: readonly StyledPull[], formats: Formats): HTMLElement {
    const title = "Conditions of the pulls";
    const region = scrolling(title);
    const value = ({ unit, decimals }: Matched["conditions"][number], si: number | null, name = "number") =>
        h("td", { class: name }, si === null ? missing("not known") : formats.text(unit, si, decimals));
    const fill = () => region.replaceChildren(h("table", { class: "conditions" }, h("caption", {}, title),
        h("thead", {}, h("tr", {}, h("th", { scope: "col" }, "condition"),
            ...pulls.map(({ pull, style }) => pullHead(pull, style, "col")),
            h("th", { scope: "col", class: "number reference" }, "reference"))),
        h("tbody", {}, ...page.conditions.map((row, k) => {
            const unit = formats.unit(row.unit);
            return h("tr", {}, h("th", { scope: "row" }, row.label + (unit ? `, ${unit}` : "")),
                ...pulls.map(({ pull }) => value(row, pull.conditions[k])),
                value(row, row.reference, "number reference"));
        }))));
    formats.onChange(fill);
    fill();
    return region;
}

function explained(explanation: Matched["explanations"][number], formats: Formats): HTMLElement[] {
    return [
        h("h3", {}, `From ${named(explanation.from)} to ${named(explanation.to)}`),
        spokenList(formats, explanation.words), causes(explanation, formats),
        h("p", { class: "aside" }, pictureNote),
        ...explanation.figures.map((figure) => explainedFigure(explanation, figure, formats, "h4")),
    ];
}

function provenance({ program, study, explanations }: Matched): HTMLElement {
    const mixtures = explanations.map(({ from, to, pulls }) => `${from.name} to ${to.name}: ${pulls}`).join("; ");
    const facts = [
        ["program", `${program.name} ${program.version}`], ["study", study.file], ["files read, as hash", study.hash],
        ...(mixtures === "" ? [] : [["pulls run for causes", mixtures]]),
    ];
    return h("dl", { class: "facts" }, ...facts.flatMap(([name, text]) => [h("dt", {}, name), h("dd", {}, text)]));
}
