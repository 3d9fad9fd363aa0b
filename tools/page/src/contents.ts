/// The lessons of a course, in their order.

import "./lesson.css";

import type { Contents } from "./data";
import { h } from "./dom";
import { section } from "./report";

/// Renders the list into the page's body.
export function renderContents({ title, token, lessons, cautions }: Contents): void {
    document.title = title;
    document.body.classList.add("contents");
    document.body.append(
        h("header", {}, h("h1", {}, title),
            h("p", { class: "question" }, "Each lesson asks first; nothing is computed before you have answered.")),
        h("main", {}, h("ol", { class: "lesson-list" }, ...lessons.map((lesson) => h("li", {},
            h("a", { href: `${lesson.address}?token=${token}` }, lesson.title),
            lesson.question !== "" && h("span", { class: "below" }, lesson.question)))),
            section("Cautions", h("ul", { class: "cautions" }, ...cautions.map((text) => h("li", {}, text))))));
}
