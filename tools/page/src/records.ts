/// What stands at a report's end: changes, parts, and how the numbers came about.

import type { LedgerLine, Page, Variant } from "./data";
import { h, scrolling } from "./dom";
import { numberText, type Formats } from "./units";

type Changed = Pick<Variant, "name" | "changes" | "parts">;

const changesCaption = "Changes of each variant; the rig's own values are paler";

/// What the study set everywhere, what each variant changed, and all parts.
export function changesAndParts(variants: readonly Changed[], formats: Formats): HTMLElement[] {
    const everywhere = (variants[0]?.changes ?? []).filter((change) => change.everywhere);
    return [
        ...(everywhere.length > 0 ? [conditions(everywhere, formats)] : []),
        matrix(changesCaption, ["parameter"], changeRows(variants, formats), variants),
        h("details", { class: "prints" }, h("summary", {}, "All parts, with prices and files"),
            matrix("Parts", ["component", "slot"], partRows(variants), variants)),
    ];
}

function conditions(changes: Variant["changes"], formats: Formats): HTMLElement {
    const text = (value: string) => (value === "" ? "–" : formats.sentence(value));
    return tableOf("Set for every variant", ["parameter", "the rig's own", "here"],
        changes.map((change) => [change.path, text(change.before), text(change.after)]));
}

/// A row of a table with one cell a variant.
interface Row {
    heads: string[];
    cells: { text: string; below: string; pale: boolean }[];
}

function changeRows(variants: readonly Changed[], formats: Formats): Row[] {
    const own = variants.map((v) => v.changes.filter((change) => !change.everywhere));
    const paths = [...new Set(own.flat().map((change) => change.path))];
    return paths.map((path) => {
        const before = own.flat().find((change) => change.path === path)!.before;
        const cells = own.map((changes) => {
            const change = changes.find((c) => c.path === path);
            const text = change ? change.after : before;
            return { text: text === "" ? "–" : formats.sentence(text), below: "", pale: !change };
        });
        return { heads: [path], cells };
    });
}

function partRows(variants: readonly Changed[]): Row[] {
    const key = (part: Variant["parts"][number]) => `${part.component}\n${part.slot}`;
    const keys = [...new Set(variants.flatMap((v) => v.parts.map(key)))];
    return keys.map((wanted) => ({
        heads: wanted.split("\n"),
        cells: variants.map((v) => {
            const part = v.parts.find((p) => key(p) === wanted);
            const text = part ? part.name + (part.price === "" ? "" : `, ${part.price}`) : "–";
            return { text, below: part?.file ?? "", pale: !part };
        }),
    }));
}

/// One column a variant; what is the same for all stands once, across them.
function matrix(caption: string, heads: string[], rows: Row[], variants: readonly Changed[]): HTMLElement {
    const cell = (c: Row["cells"][number], span: number) =>
        h("td", { colspan: span, class: c.pale ? "pale" : null }, c.text,
            c.below !== "" && h("span", { class: "below" }, c.below));
    const body = rows.map((row) => {
        const same = row.cells.every((c) => c.text === row.cells[0].text && c.below === row.cells[0].below);
        return h("tr", {}, ...row.heads.map((text) => h("th", { scope: "row" }, text)),
            ...(same ? [cell(row.cells[0], row.cells.length)] : row.cells.map((c) => cell(c, 1))));
    });
    if (body.length === 0) return h("p", {}, "No variant changes anything.");
    const names = [...heads, ...variants.map((v) => v.name)];
    return scrolling(caption, h("table", {}, h("caption", {}, caption),
        h("thead", {}, h("tr", {}, ...names.map((text) => h("th", { scope: "col" }, text)))),
        h("tbody", {}, ...body)));
}

/// Version, files, solver and ledger.
export function provenance(page: Page): HTMLElement {
    const { program, study } = page;
    const facts: [string, string][] = [
        ["program", `${program.name} ${program.version}`], ["study", study.file],
        ["hash of all that went in", study.hash],
    ];
    const solved = page.variants.filter((v) => v.solver !== null);
    const counts = [...new Set(solved.flatMap((v) => Object.keys(v.solver!)))];
    return h("div", {},
        h("dl", { class: "facts" }, ...facts.flatMap(([name, value]) => [h("dt", {}, name), h("dd", {}, value)])),
        tableOf("Integrator, counted over the whole run", ["", ...solved.map((v) => v.name)],
            counts.map((count) => [count, ...solved.map((v) => String(v.solver![count] ?? "–"))]), true),
        ledgerTable(page.variants.filter((v) => v.ledger !== null)));
}

/// The books of each run: what came in less what went out must be what is stored.
export function ledgerTable(variants: readonly Pick<Variant, "name" | "ledger">[]): HTMLElement {
    const row = (v: Pick<Variant, "name">, name: string, line: LedgerLine) => [
        `${v.name}, ${name}`, line.unit, ...[line.into, line.out, line.stored_change].map((x) => x.toPrecision(6)),
        line.residual.toExponential(1), line.relative === null ? "–" : numberText(line.relative, -1),
    ].map(minusSign);
    const rows = variants.flatMap((v) => Object.entries(v.ledger!).map(([name, line]) => row(v, name, line)));
    return tableOf("Ledger, SI: into the rig, out of it, change of what it holds, and what is unexplained",
        ["variant and quantity", "unit", "in", "out", "stored", "residual", "relative"], rows, true);
}

const minusSign = (text: string): string => text.replace(/(^|e)-(?=\d)/g, "$1\u2212");

function tableOf(caption: string, head: string[], rows: string[][], numbers = false): HTMLElement {
    const cell = (text: string, k: number) =>
        k === 0 ? h("th", { scope: "row" }, text) : h("td", { class: numbers ? "number" : null }, text);
    const heading = (text: string, k: number) =>
        text === "" ? h("td", {}) : h("th", { scope: "col", class: numbers && k > 0 ? "number" : null }, text);
    return scrolling(caption, h("table", {}, h("caption", {}, caption),
        h("thead", {}, h("tr", {}, ...head.map(heading))),
        h("tbody", {}, ...rows.map((row) => h("tr", {}, ...row.map(cell))))));
}
