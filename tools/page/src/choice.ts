/// A choice of parts: what to buy first, the shortlist, all combinations as a picture, and what is uncertain about it.

import "./choice.css";

import { Choices } from "./choice_model";
import { picture } from "./choice_picture";
import { shares } from "./choice_shares";
import { moneyLadder, shortlist, wishes } from "./choice_tables";
import { tradeoffs } from "./choice_tradeoffs";
import type { Chosen } from "./data";
import { h } from "./dom";
import { firstScreenFirst, head, list, openOnPaper, section, spoken, spokenList, unitsSwitch } from "./report";
import { Formats } from "./units";

/// Renders the choice into the page's body.
export function renderChoice(page: Chosen): void {
    const formats = new Formats(page.units, page.system);
    const model = new Choices(page, formats);
    const some = page.shortlist.length > 0;
    document.title = page.study.title;
    document.body.classList.add("choice");
    document.body.append(
        head(page, formats),
        h("main", {},
            h("div", { class: "bar", role: "group", "aria-label": "How the page is shown" }, unitsSwitch(formats)),
            ...(page.money.length > 0 ? [section("What to buy first, and what more money buys", ...moneyLadder(model))]
                : []),
            section("Shortlist", h("p", {}, page.done), spokenList(formats, page.findings),
                some ? shortlistNote(page) : h("p", {}, "Nothing is on the shortlist."), shortlist(model)),
            section("What was wished for", wishes(page, model)),
            section("All combinations", h("p", { class: "aside" }, pictureNote), ...picture(model)),
            section("What is given for what", ...tradeoffs(model)),
            section("Which uncertainty matters most", ...shares(model)),
            ...(page.failed.length > 0 ? [section("What could not be run", failures(model))] : []),
            section("How to read this", list(page.how_to_read, formats), met(page, formats)),
            section("Cautions", list(page.cautions, formats, "cautions")),
            section("How this was computed", provenance(page),
                page.load_notes.length > 0 ? list(page.load_notes, formats) : null)));
    firstScreenFirst();
    openOnPaper();
}

const pictureNote = "Point at a mark, or go from mark to mark with the arrow keys, to read which parts it is. " +
    "What lies beyond a wish's limit is shaded; a combination may also break a wish that is on neither axis.";

const shortlistNote = (page: Chosen): HTMLElement => h("p", { class: "aside" },
    `Ordered by ${page.wishes[page.lead].title}; press the head of a column to order by it. Below each number: its ` +
    "difference from the car as it stands, and how sure it is.");

function failures(model: Choices): HTMLElement {
    const { failed, conditions } = model.page;
    return h("ul", { class: "failures" }, ...failed.map(({ combination, conditions: n, failure }) => h("li", {},
        h("strong", {}, model.told(combination)),
            ` (no. ${combination}), in ${n} of ${conditions} conditions: ${failure}`)));
}

function met(page: Chosen, formats: Formats): HTMLElement | null {
    if (page.met.length === 0) return null;
    return h("dl", { class: "facts" }, ...page.met.flatMap(({ title, words }) =>
        [h("dt", {}, title), h("dd", {}, spoken(formats, words, "span"))]));
}

function provenance(page: Chosen): HTMLElement {
    const facts = [
        ["program", `${page.program.name} ${page.program.version}`], ["study", page.study.file],
            ["files read, as hash", page.study.hash],
        ["runs, as hash", page.hash], ["seed", String(page.seed)],
        ["runs", `${page.runs}: ${page.combinations.price.length} combinations, the car as it stands among them, ` +
            `each under the same ${page.conditions === 1 ? "condition" : `${page.conditions} conditions`}`],
        ["combinations", page.sampled ? "a sample of all that could be bought" : "all that could be bought"],
    ];
    return h("dl", { class: "facts" }, ...facts.flatMap(([name, text]) => [h("dt", {}, name), h("dd", {}, text)]));
}
