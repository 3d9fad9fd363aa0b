/// What is known before anything is run: the variants, the day's plan, and what it begins with.

import type { Lesson, LessonStep } from "../data";
import { h, scrolling } from "../dom";
import { changesAndParts } from "../records";
import type { Formats } from "../units";

/// The sections of the plan; they follow the unit system.
export function plan(lesson: Lesson, formats: Formats): HTMLElement[] {
    const day = h("ol", { class: "plan" });
    const given = scrolling("What the day begins with");
    const fill = () => {
        day.replaceChildren(...lesson.turns.map((turn) => turnItem(lesson, turn, formats)));
        given.replaceChildren(givenTable(lesson, formats));
    };
    formats.onChange(fill);
    fill();
    return [
        h("h3", {}, lesson.variants.length > 1 ? "What is compared" : "The car"), variants(lesson), given,
        h("details", { class: "prints" }, h("summary", {}, "Changes and parts"),
            ...changesAndParts(lesson.variants, formats)),
        h("h3", {}, "The day"), day,
    ];
}

const variants = ({ variants }: Lesson): HTMLElement => h("ul", {}, ...variants.map(({ name, title, new_parts }) =>
    h("li", {}, h("strong", {}, name), title !== name && `: ${title}`,
        new_parts !== "" && h("span", { class: "below" }, `new parts: ${new_parts}`))));

function givenTable({ given, variants }: Lesson, formats: Formats): HTMLElement {
    return h("table", {}, h("caption", {}, `When the day begins, ${formats.unit(given.unit)}`),
        h("thead", {}, h("tr", {}, h("td", {}),
            ...variants.map(({ name }) => h("th", { scope: "col", class: "number" }, name)))),
        h("tbody", {}, ...given.labels.map((label, row) => h("tr", {}, h("th", { scope: "row" }, label),
            ...variants.map((variant) =>
                h("td", { class: "number" }, formats.text(given.unit, variant.given[row], given.decimals)))))));
}

function turnItem(lesson: Lesson, turn: Lesson["turns"][number], formats: Formats): HTMLElement {
    const steps = turn.steps.map((index) => lesson.steps[index]!);
    const until = turn.until[formats.system];
    if (turn.times === 1 && steps.length === 1 && until === "") return h("li", {}, ...step(steps[0]!, lesson, formats));
    const times = until === "" ? `${turn.times} times:` : `up to ${turn.times} times, ${formats.sentence(until)}:`;
    return h("li", {}, times, h("ul", {}, ...steps.map((one) => h("li", {}, ...step(one, lesson, formats)))));
}

function step({ title, kind, lasts, until, settings }: LessonStep, { length }: Lesson, formats: Formats): (Node | string)[] {
    const said = kind === "pull" && title !== "pull" ? `${title} (a pull)` : title;
    const waits = until[formats.system];
    const long = lasts === null ? "" : `, ${waits === "" ? "" : "at most "}${formats.full(length.unit, lasts, length.decimals)}`;
    const set = settings.map(({ path, value }) => `${path} = ${value}`).join(", ");
    return [`${said}${long}${waits === "" ? "" : `, ${formats.sentence(waits)}`}`,
        ...(set === "" ? [] : [h("span", { class: "below" }, formats.sentence(set))])];
}
