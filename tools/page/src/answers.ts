/// For the instructor: what each lesson asks, what its run answers, and what the session says. Made to be printed.

import "./lesson.css";

import type { Answers } from "./data";
import { h } from "./dom";
import { list, section, spoken, spokenList, unitsSwitch } from "./report";
import { Formats } from "./units";

type Answered = Answers["lessons"][number];

/// Renders the page into the body.
export function renderAnswers(page: Answers): void {
    const formats = new Formats(page.units, page.system);
    document.title = page.title;
    document.body.classList.add("answers");
    document.body.append(
        h("header", {}, h("h1", {}, page.title), h("p", { class: "note" },
            "For the instructor: every answer is computed by the program, with the files as they were.")),
        h("main", {},
            h("div", { class: "bar", role: "group", "aria-label": "How the page is shown" }, unitsSwitch(formats)),
            ...page.lessons.map((lesson, k) => section(`${k + 1}. ${lesson.title}`, ...content(lesson, formats))),
            section("Cautions", list(page.cautions, formats, "cautions")),
            section("How this was computed", provenance(page))));
}

function content(lesson: Answered, formats: Formats): (Node | null)[] {
    return [
        lesson.question === "" ? null : h("p", { class: "question" }, lesson.question),
        lesson.note === "" ? null : h("p", {}, lesson.note),
        h("ol", { class: "questions" }, ...lesson.questions.map(({ text, answer }) => {
            const said = spoken(formats, answer);
            said.className = "said";
            return h("li", {}, h("p", { class: "question-text" }, text), said);
        })),
        ...lesson.variants.flatMap(({ title, failure, words }) => [h("h3", {}, title),
            failure === null ? spokenList(formats, words) : h("p", { class: "failure" }, `Did not finish: ${failure}`)]),
    ];
}

function provenance({ program, lessons }: Answers): HTMLElement {
    return h("dl", { class: "facts" }, h("dt", {}, "program"), h("dd", {}, `${program.name} ${program.version}`),
        ...lessons.flatMap(({ file, hash }) => [h("dt", {}, file), h("dd", {}, hash)]));
}
