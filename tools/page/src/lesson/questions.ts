/// The form of questions: a number with its unit, or only which way, for each.

import type { LessonQuestion } from "../data";
import { h, uniqueId } from "../dom";
import { numberText, type Formats } from "../units";
import { readNumber, wayOf, wayText, type Prediction, type Way } from "./prediction";

const ways: readonly Way[] = [-1, 0, 1];

/// All questions of a lesson.
export class Questions {
    readonly element = h("ol", { class: "questions" });
    private readonly rows: Row[];

    constructor(questions: readonly LessonQuestion[], formats: Formats) {
        this.rows = questions.map((question) => new Row(question, formats));
        this.element.append(...this.rows.map((row) => row.element));
        formats.onChange(() => this.rows.forEach((row) => row.rewrite()));
    }

    /// In the order of the questions; null: none was given.
    get predictions(): (Prediction | null)[] {
        return this.rows.map((row) => row.prediction);
    }

    /// Marks what is missing or no number, and goes to the first of it; true: there is a prediction everywhere.
    complete(): boolean {
        const missing = this.rows.filter((row) => !row.check());
        missing[0]?.focus();
        return missing.length === 0;
    }

    /// Empty fields, with what the run before said beside them.
    ask(before: (string | null)[]): void {
        this.rows.forEach((row, k) => row.ask(before[k] ?? null));
    }
}

class Row {
    readonly element: HTMLElement;
    private readonly field: HTMLInputElement;
    private readonly unit = h("span", { class: "unit" });
    private readonly radios: HTMLInputElement[];
    private readonly before = h("p", { class: "aside", hidden: true });
    private readonly error = h("p", { class: "missing", role: "alert", hidden: true });
    private si: number | null = null; // of the field

    constructor(private readonly question: LessonQuestion, private readonly formats: Formats) {
        const id = uniqueId("question");
        this.error.id = `${id}-error`;
        this.field = h("input", { type: "text", id, inputmode: "decimal", autocomplete: "off", size: 7,
            "aria-describedby": `${id}-error`, oninput: () => this.typed() });
        const name = `${id}-way`;
        const directed = question.is_difference && question.alike_within !== null;
        this.radios = directed
            ? ways.map((way) => h("input", { type: "radio", name, value: way, onchange: () => this.chose() })) : [];
        const label = question.is_difference
            ? `${capital(question.more)} by (with a minus: ${question.less})` : "Your number";
        this.element = h("li", {}, h("p", { class: "question-text" }, question.text), this.before,
            h("p", { class: "entry" }, h("label", { for: id }, label), this.field, this.unit),
            directed && h("fieldset", { class: "ways" }, h("legend", {}, "or only which way:"),
                ...this.radios.map((radio, k) => h("label", {}, radio, ` ${this.wayLabel(ways[k])}`))),
            this.error);
        this.rewrite();
    }

    get prediction(): Prediction | null {
        if (this.si !== null) return { kind: "number", si: this.si };
        const chosen = this.radios.find((radio) => radio.checked);
        return chosen && this.field.value.trim() === "" ? { kind: "way", way: Number(chosen.value) as Way } : null;
    }

    focus(): void {
        this.field.focus();
    }

    check(): boolean {
        const good = this.prediction !== null;
        const numbered = this.field.value.trim() !== "";
        this.complain(good ? "" : numbered ? "This is no number." : "No prediction yet: a number" +
            (this.radios.length > 0 ? ", or which way." : "."));
        return good;
    }

    ask(before: string | null): void {
        this.si = null;
        this.field.value = "";
        for (const radio of this.radios) radio.checked = false;
        this.before.hidden = before === null;
        this.before.textContent = before === null ? "" : `The run before: ${before}`;
        this.complain("");
    }

    /// In the units that are chosen now; what is no number stays as it was typed.
    rewrite(): void {
        const { unit, decimals } = this.question;
        this.unit.textContent = this.formats.unit(unit);
        if (this.si !== null) this.field.value = numberText(this.formats.shown(unit, this.si), decimals);
        this.radios.forEach((radio, k) => (radio.nextSibling!.textContent = ` ${this.wayLabel(ways[k])}`));
    }

    private wayLabel(way: Way): string {
        const { alike_within, difference, decimals } = this.question;
        const width = way === 0 ? ` (within ${this.formats.full(difference, alike_within, decimals)})` : "";
        return wayText(way, this.question) + width;
    }

    private typed(): void {
        const shown = readNumber(this.field.value, this.formats.unit(this.question.unit));
        this.si = shown === null ? null : this.formats.si(this.question.unit, shown);
        const way = this.si === null ? null : wayOf(this.si, this.question);
        for (const radio of this.radios) radio.checked = Number(radio.value) === way;
        this.complain("");
    }

    /// A way that the number contradicts takes its place.
    private chose(): void {
        const way = Number(this.radios.find((radio) => radio.checked)!.value);
        if (this.si === null || wayOf(this.si, this.question) !== way) {
            this.si = null;
            this.field.value = "";
        }
        this.complain("");
    }

    private complain(text: string): void {
        this.error.textContent = text;
        this.error.hidden = text === "";
        if (text) this.field.setAttribute("aria-invalid", "true");
        else this.field.removeAttribute("aria-invalid");
    }
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
