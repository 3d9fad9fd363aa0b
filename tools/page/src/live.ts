/// The live page: knobs on one side, what the engine says to them on the other.

import "./live.css";

import type { Page, RunReply, System, Variant } from "./data";
import { h } from "./dom";
import { afterDrawn } from "./later";
import { PlotGroup, type Run } from "./plot";
import { bar, charts } from "./report";
import { Formats } from "./units";
import { Controls } from "./live/controls";
import { Exports } from "./live/exports";
import { Ghosts } from "./live/ghosts";
import { keep, restore } from "./live/keep";
import { Knobs } from "./live/knobs";
import { liveStyle } from "./live/lines";
import { Predict } from "./live/predict";
import { RunQueue, type Asked, type Outcome } from "./live/queue";
import { Results } from "./live/results";
import { Session, type Wish } from "./live/session";
import { noteTiming } from "./live/timing";

/// Renders the live page into the page's body.
export function renderLive(page: Page): void {
    document.title = `Live: ${page.study.title}`;
    document.body.classList.add("live");
    new LivePage(page);
}

/// What is not the plots is drawn after this many ms without a new run.
const pause = 100; // words; while runs keep coming, at least every `longestPause`
const longestPause = 250;
const rest = 150; // figures and pictures

/// A run of the knobs, and when it was asked for; 0: by the page itself.
interface Answer {
    reply: RunReply;
    moment: number;
}

class LivePage {
    private readonly formats: Formats;
    private readonly group: PlotGroup;
    private readonly knobs: Knobs;
    private readonly session: Session;
    private readonly controls: Controls;
    private readonly ghosts: Ghosts;
    private readonly predict: Predict;
    private readonly results: Results;
    private readonly plots: HTMLElement;
    private readonly queue: RunQueue<Wish, RunReply>;
    private live: Variant; // drawn, or hidden while the reader predicts
    private drawing = false;
    private next: Answer | null = null; // came while another was being drawn
    private toWords: ReturnType<typeof setTimeout> | undefined;
    private toRest: ReturnType<typeof setTimeout> | undefined;
    private worded = 0; // when words were shown last

    constructor(private readonly page: Page) {
        const formats = (this.formats = new Formats(page.units, page.system));
        const group = (this.group = new PlotGroup(formats, page.speed_unit));
        this.knobs = new Knobs(page);
        restore(this.knobs);
        this.session = new Session(page.live!);
        this.live = page.variants.find((variant) => variant.name === this.knobs.start) ?? page.variants[0];
        const system = (): System => formats.system;
        this.controls = new Controls({ page, knobs: this.knobs, starts: true, system, changed: (moment) => this.ask(moment) });
        this.queue = new RunQueue((asked) => this.session.run(asked), (outcome, asked) => this.take(outcome, asked));
        const studied = page.variants.map((variant) => ({ variant, style: liveStyle }));
        this.plots = charts(page, group, studied);
        this.ghosts = new Ghosts(page, () => this.live, () => {
            this.predict.ghostChanged();
            this.show();
        });
        this.predict = new Predict({
            page, formats, group, ghost: () => this.ghosts.run, live: () => this.liveRun, redraw: () => this.show(),
        });
        this.results = new Results(page, formats);
        this.build();
        formats.onChange(() => this.controls.show(true));
        this.show();
        if (this.knobs.all.length > 0) this.ask(0);
    }

    private build(): void {
        const { page, formats, group, results, predict } = this;
        const { title, question, note } = page.study;
        const complain = (knob: string, text: string): boolean => this.controls.complain(knob, text);
        const exports = new Exports(page, this.session, () => this.wish(), complain);
        const predictSwitch = h("input", { type: "checkbox", onchange: () => predict.turn(predictSwitch.checked) });
        const shown = h("div", { class: "beside" }, this.ghosts.element,
            predict.possible && h("label", { class: "check" }, predictSwitch, " Predict first"));
        const knobs = this.knobs.all.length > 0
            ? h("details", { class: "panel", open: true },
                h("summary", {}, "Knobs"), this.controls.element, exports.element)
            : noKnobs(page);
        document.body.append(
            h("header", {}, h("h1", {}, title), question !== "" && h("p", { class: "question" }, question),
                note !== "" && h("p", { class: "note" }, note)),
            h("main", {}, bar(formats, group),
                h("div", { class: "columns" }, h("section", { class: "knob-column", "aria-label": "Knobs" }, knobs),
                    h("div", { class: "result-column" }, results.head, shown, predict.element, this.plots,
                        ...results.sections))),
        );
    }

    private wish(): Wish {
        return { start: this.knobs.start, knobs: this.knobs.sent() };
    }

    /// The knobs changed at `moment`.
    private ask(moment: number): void {
        if (this.predict.knobsTurned()) this.show();
        this.queue.ask(this.wish(), moment);
        keep(this.knobs);
    }

    private take(outcome: Outcome<RunReply>, asked: Asked<Wish>): void {
        if (outcome.kind === "unreachable") {
            this.results.trouble(stopped(this.page));
        } else if (outcome.kind === "refused") {
            const text = outcome.text || outcome.error;
            const placed = this.controls.complain(outcome.knob, text);
            this.results.trouble(placed ? "A value cannot be used: see the knob that is marked." : text);
        } else if (outcome.kind === "reply" && outcome.reply.variant.failure !== null) {
            this.controls.clearComplaints();
            this.results.trouble(`This run did not finish: ${outcome.reply.variant.failure}`);
        } else if (outcome.kind === "reply") {
            this.controls.clearComplaints();
            this.results.trouble("");
            this.answer({ reply: outcome.reply, moment: asked.moment });
        }
    }

    /// Draws an answer; the newest of those that come while drawing waits.
    private answer(answer: Answer): void {
        if (this.drawing) {
            this.next = answer;
            return;
        }
        this.live = answer.reply.variant;
        this.results.take(answer.reply);
        if (this.predict.hides) return;
        this.drawing = true;
        this.draw();
        afterDrawn(() => this.drawn(answer));
    }

    private drawn({ reply, moment }: Answer): void {
        const elapsed = performance.now() - moment;
        if (moment > 0) {
            noteTiming(elapsed, reply.simulated_ms);
            this.results.timing(elapsed, reply.simulated_ms);
        }
        this.drawing = false;
        const next = this.next;
        this.next = null;
        if (next) this.answer(next);
        else this.settle();
    }

    private get liveRun(): Run {
        return { variant: { ...this.live, name: "live", title: "live run" }, style: liveStyle };
    }

    private draw(): void {
        const live = this.predict.hides ? [] : [this.liveRun];
        this.group.setData([this.ghosts.run, ...live, ...this.predict.runs()]);
        this.predict.liveChanged();
    }

    /// The rest of the page after the plots: words when there is a pause, figures and pictures when the
    /// knobs rest.
    private settle(): void {
        const { predict, results } = this;
        results.hide(predict.hides);
        this.plots.hidden = predict.hides;
        clearTimeout(this.toWords);
        clearTimeout(this.toRest);
        if (predict.hides) return;
        const now = performance.now();
        this.toWords = setTimeout(() => this.words(), Math.max(0, Math.min(pause, this.worded + longestPause - now)));
        this.toRest = setTimeout(() => this.figuresAndPictures(), rest);
    }
    private words(): void {
        this.worded = performance.now();
        this.results.showWords(this.live);
    }
    private figuresAndPictures(): void {
        this.results.showFigures(this.live, this.ghosts.run.variant as Variant);
        this.results.showPictures(this.live);
    }

    private show(): void {
        this.draw();
        this.settle();
    }
}

const stopped = (page: Page): string =>
    `The program has stopped, or cannot be reached. Start it again with\n\n    pullcast live ${page.study.file}\n\n` +
    "and open the address that it prints. If it is running after all, turn any knob to try again.";

function noKnobs(page: Page): HTMLElement {
    return h("div", { class: "no-knobs" }, h("h2", {}, "No knobs yet"),
        h("p", {}, `The study declares nothing to turn. Add to ${page.study.file}, for example:`),
        h("pre", {}, '[knob.ambient]\nsets = "ambient.temperature"\nfrom = "5 degC"\nto = "40 degC"'));
}
