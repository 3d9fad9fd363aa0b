/// The live page of a session: predict first, then see the day; then turn something and predict again.

import "./lesson.css";

import { showDay } from "./day";
import type { DayReply, Lesson } from "./data";
import { h } from "./dom";
import { list, section, unitsSwitch } from "./report";
import { answerText, answeredList, type Answered } from "./lesson/answered";
import { comparedPulls } from "./lesson/compared";
import { plan } from "./lesson/plan";
import type { Prediction } from "./lesson/prediction";
import { Questions } from "./lesson/questions";
import { Controls } from "./live/controls";
import { Exports } from "./live/exports";
import { Knobs } from "./live/knobs";
import type { Outcome } from "./live/queue";
import { Session, type Wish } from "./live/session";
import { Formats } from "./units";

/// Renders a lesson into the page's body.
export function renderLesson(lesson: Lesson): void {
    document.title = lesson.study.title;
    document.body.classList.add("lesson");
    new LessonPage(lesson);
}

class LessonPage {
    private readonly formats: Formats;
    private readonly knobs: Knobs;
    private readonly controls: Controls;
    private readonly session: Session<DayReply>;
    private readonly questions: Questions;
    private readonly asking: HTMLElement;
    private readonly askingTitle = h("h2", {});
    private readonly askingNote = h("p", {});
    private readonly progress = h("p", { class: "progress", role: "status", hidden: true });
    private readonly troubled = h("p", { class: "trouble", role: "alert", hidden: true });
    private readonly answers = h("div", {});
    private readonly turning: HTMLElement;
    private readonly compared = h("div", {});
    private readonly day = h("div", { class: "day-shown" });
    private shown: Answered | null = null;
    private before: Answered | null = null;
    private shownWish = "";
    private sequence = 0;
    private running: AbortController | null = null;

    constructor(private readonly lesson: Lesson) {
        const formats = (this.formats = new Formats(lesson.units, lesson.system));
        this.knobs = new Knobs(lesson);
        this.session = new Session<DayReply>(lesson.live);
        this.controls = new Controls({
            page: lesson, knobs: this.knobs, starts: false, system: () => formats.system, changed: () => this.turned(),
        });
        formats.onChange(() => {
            this.controls.show(true);
            this.showAnswers();
        });
        this.questions = new Questions(lesson.questions, formats);
        this.asking = this.makeAsking();
        this.turning = this.makeTurning();
        this.build();
        this.ask();
    }

    private build(): void {
        const { lesson, formats } = this;
        const { title, question, note } = lesson.study;
        document.body.append(
            lesson.links.length > 0 && links(lesson) || "",
            h("header", {}, h("h1", {}, title), question !== "" && h("p", { class: "question" }, question)),
            h("main", {},
                h("div", { class: "bar", role: "group", "aria-label": "How the page is shown" }, unitsSwitch(formats)),
                note !== "" && h("p", { class: "aim" }, note),
                section("What is run", ...plan(lesson, formats)),
                this.answers, this.turning, this.asking, this.compared, this.day,
                lesson.load_notes.length > 0 && section("From reading the files", list(lesson.load_notes, formats)),
                section("Cautions", list(lesson.cautions, formats, "cautions"))));
    }

    private makeAsking(): HTMLElement {
        const submit = (event: Event) => {
            event.preventDefault();
            if (this.questions.complete()) void this.run();
        };
        const form = h("form", { novalidate: true, onsubmit: submit }, this.askingNote, this.questions.element,
            h("p", { class: "buttons" }, h("button", { type: "submit" }, "Run the day"),
                h("button", { type: "button", class: "plain", onclick: () => void this.run() }, "I'd rather see it")),
            this.progress, this.troubled);
        return h("section", { "aria-label": "Predict" }, this.askingTitle, form);
    }

    private makeTurning(): HTMLElement {
        const complain = (knob: string, text: string): boolean => this.controls.complain(knob, text);
        const exports = new Exports(this.lesson, this.session, () => this.wish(), complain);
        const any = this.knobs.all.length > 0;
        const element = section("Turn something", h("p", { class: "aside" }, any
            ? "A knob turns all variants alike. Say first what it will change; the run that is shown stays for comparison."
            : "This study declares nothing to turn: a table [knob.NAME] would."), this.controls.element, exports.element);
        element.classList.add("turning");
        element.hidden = true;
        return element;
    }

    private wish(): Wish {
        return { start: this.knobs.start, knobs: this.knobs.sent() };
    }

    /// Shows the questions, for the first time or of what was turned.
    private ask(): void {
        const { shown, lesson, formats } = this;
        const none = lesson.questions.length === 0;
        this.askingTitle.textContent = shown ? "What will this change?" : none ? "See the day" : "Predict first";
        this.askingNote.textContent = none ? "" : shown
            ? "Write a number for each again, of the day as it is turned now."
            : "Write a number for each, or say which way. Nothing is computed before that.";
        this.questions.ask(lesson.questions.map((_, k) => shown && answerText(shown.reply, k, formats)));
        this.asking.hidden = false;
    }

    private turned(): void {
        const same = this.shownWish === JSON.stringify(this.wish());
        if (same) this.asking.hidden = true;
        else if (this.asking.hidden) this.ask();
    }

    private async run(): Promise<void> {
        this.running?.abort();
        const running = (this.running = new AbortController());
        const predictions = this.questions.predictions;
        const wish = this.wish();
        this.say("Running the day for all variants \u2026", true);
        this.trouble("");
        const asked = { sequence: ++this.sequence, request: wish, moment: 0 };
        let outcome: Outcome<DayReply>;
        try {
            outcome = await this.session.run(asked, running.signal);
        } catch {
            outcome = { kind: "unreachable" };
        }
        if (this.running !== running) return; // stopped, or another run took its place
        this.running = null;
        this.say("", false);
        this.take(outcome, wish, predictions);
    }

    private take(outcome: Outcome<DayReply>, wish: Wish, predictions: (Prediction | null)[]): void {
        if (outcome.kind === "unreachable") {
            this.trouble(stopped(this.lesson));
        } else if (outcome.kind === "refused") {
            const text = outcome.text || outcome.error;
            const placed = this.controls.complain(outcome.knob, text);
            this.trouble(placed ? "A value cannot be used: see the knob that is marked." : text);
        } else if (outcome.kind === "reply") {
            this.controls.clearComplaints();
            this.show({ reply: outcome.reply, predictions, turned: this.turnedText() }, wish);
        }
    }

    private show(now: Answered, wish: Wish): void {
        this.before = this.shown;
        this.shown = now;
        this.shownWish = JSON.stringify(wish);
        this.showAnswers();
        showDay(this.day, now.reply.day, this.formats);
        this.turning.hidden = false;
        this.asking.hidden = true;
        this.turned(); // knobs may have moved while it ran
        this.answers.querySelector<HTMLElement>("section")?.focus();
    }

    /// In the units that are chosen now.
    private showAnswers(): void {
        const { lesson, formats, shown, before } = this;
        if (!shown) return;
        const asIs = (turned: string): string => turned === "" ? "as the lesson has it" : turned;
        const note = before && h("p", { class: "aside" },
            `This run: ${asIs(shown.turned)}. The run before: ${asIs(before.turned)}.`);
        const answers = section("What you said, and what the run says", note,
            answeredList(lesson.questions, shown, before, formats));
        answers.tabIndex = -1;
        this.answers.replaceChildren(...(lesson.questions.length > 0 ? [answers] : []));
        this.compared.replaceChildren(...(before ? [section("What it changed, pull by pull",
            h("p", { class: "aside" }, "Below each value: its difference from the run before."),
            comparedPulls(shown.reply.day, before.reply.day, formats.system))] : []));
    }

    /// "how long it idles: 5.0 min"
    private turnedText(): string {
        const { knobs, formats } = this;
        const sent = knobs.sent();
        return knobs.all.filter(({ name }) => name in sent).map((knob) => {
            const label = knob.choices?.find(({ value }) => value === sent[knob.name])?.label;
            return `${knob.title}: ${label ?? knobs.shown(knob, formats.system)}`;
        }).join("; ");
    }

    private say(text: string, busy: boolean): void {
        const stop = h("button", { type: "button", class: "plain", onclick: () => this.stop() }, "Stop");
        this.progress.replaceChildren(...(busy ? [h("progress", { "aria-label": "running" }), ` ${text} `, stop] : [text]));
        this.progress.hidden = text === "";
    }

    private stop(): void {
        const running = this.running;
        this.running = null;
        running?.abort();
        this.say("Stopped; nothing is shown of it.", false);
    }

    private trouble(text: string): void {
        this.troubled.textContent = text;
        this.troubled.hidden = text === "";
    }
}

/// Other lessons; the token stays in the address bar there too.
function links({ links, live }: Lesson): HTMLElement {
    return h("nav", { class: "lessons", "aria-label": "Lessons" }, ...links.map(({ title, address }) =>
        h("a", { href: `${address}?token=${live.token}` }, title)));
}

const stopped = (lesson: Lesson): string =>
    `The program has stopped, or cannot be reached. Start it again with\n\n    pullcast live ${lesson.study.file}\n\n` +
    "and open the address that it prints.";
