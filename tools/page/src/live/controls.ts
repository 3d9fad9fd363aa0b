/// The column of knobs: one slider with a text beside it, or one choice, for each.

import "../live.css";

import type { Choice, Knob, System, Turnable } from "../data";
import { h } from "../dom";
import type { Knobs } from "./knobs";

export interface ControlsOptions {
    page: Turnable;
    knobs: Knobs;
    starts: boolean; // whether one may start from another variant
    system: () => System;
    changed: (moment: number) => void; // `moment`: performance.now() at the event
}

/// What a kind of knob must be able to do.
interface Field {
    root: HTMLElement;
    inputs: HTMLElement[]; // what is marked invalid
    show(retype: boolean): void; // from the state; `retype`: even a text that is being typed
}

/// All knobs, kept in step with their state.
export class Controls {
    readonly element = h("div", { class: "knobs" });
    private readonly rows = new Map<string, Row>();
    private readonly start: HTMLSelectElement;
    private readonly allBack: HTMLButtonElement;

    constructor(private readonly options: ControlsOptions) {
        const { page, knobs } = options;
        this.start = h("select", { id: "start-from" });
        for (const variant of page.variants) {
            const title = variant.base ? `${variant.title} (base)` : variant.title;
            this.start.append(h("option", { value: variant.name }, title));
        }
        this.start.value = knobs.start;
        this.start.addEventListener("change", () => this.act(() => knobs.startFrom(this.start.value)));
        this.allBack = h("button", { type: "button", class: "plain" }, "Put all back");
        this.allBack.addEventListener("click", () => this.act(() => knobs.putAllBack()));
        if (options.starts)
            this.element.append(
                h("div", { class: "start-from" }, h("label", { for: "start-from" }, "Start from"), this.start),
            );
        for (const knob of knobs.all) {
            const row = new Row(knob, options, () => this.show(false));
            this.rows.set(knob.name, row);
            this.element.append(row.element);
        }
        this.element.append(h("div", { class: "all-back" }, this.allBack));
        this.show(true);
    }

    /// Brings every control to the state.
    show(retype: boolean): void {
        for (const row of this.rows.values()) row.show(retype);
        const keyboardHere = document.activeElement === this.allBack;
        this.allBack.disabled = !this.options.knobs.anyDiffers && !keyboardHere;
    }

    /// Shows a refusal under its knob; false: there is no such knob.
    complain(knob: string, text: string): boolean {
        this.clearComplaints();
        return this.rows.get(knob)?.complain(text) ?? false;
    }
    clearComplaints(): void {
        for (const row of this.rows.values()) row.complain("");
    }

    private act(change: () => void): void {
        const moment = performance.now();
        change();
        this.show(true);
        this.options.changed(moment);
    }
}

/// One knob with its title, what it was, and what is wrong with it.
class Row {
    readonly element: HTMLElement;
    private readonly field: Field;
    private readonly back: HTMLButtonElement;
    private readonly was: HTMLElement;
    private readonly error: HTMLElement;

    constructor(
        private readonly knob: Knob,
        private readonly options: ControlsOptions,
        private readonly showAll: () => void,
    ) {
        const id = `knob-${knob.name}`;
        this.error = h("pre", { class: "knob-error", id: `${id}-error`, role: "alert", tabindex: 0, hidden: true });
        this.was = h("span", { class: "knob-was" });
        this.back = h("button", { type: "button", class: "plain" }, "Put back");
        this.back.addEventListener("click", () => {
            this.field.root.querySelector<HTMLElement>("select, input")!.focus();
            this.act(() => options.knobs.putBack(knob));
            this.show(true);
        });
        const doc = h("p", { class: "knob-doc", id: `${id}-doc` }, knob.doc);
        this.field = this.makeField(id);
        const foot = h("div", { class: "knob-foot" }, doc, h("p", { class: "knob-back" }, this.was, this.back));
        this.element = h("div", { class: "knob" }, this.field.root, foot, this.error);
        for (const input of this.field.inputs) input.setAttribute("aria-describedby", `${id}-doc`);
    }

    show(retype: boolean): void {
        const { knobs, system } = this.options;
        this.field.show(retype);
        const differs = knobs.differs(this.knob);
        this.element.classList.toggle("turned", differs);
        const was = startText(this.knob, knobs, system());
        this.was.textContent = `was ${was} `;
        this.back.setAttribute("aria-label", `Put back: ${this.knob.title}, to ${was}`);
    }

    complain(text: string): boolean {
        if (!text && this.error.hidden) return true;
        this.error.replaceChildren(...text.trimEnd().split("\n").map(diagnosticLine));
        this.error.hidden = !text;
        const id = `knob-${this.knob.name}`;
        for (const input of this.field.inputs) {
            if (text) input.setAttribute("aria-invalid", "true");
            else input.removeAttribute("aria-invalid");
            input.setAttribute("aria-describedby", text ? `${id}-error ${id}-doc` : `${id}-doc`);
        }
        return true;
    }

    private act(change: () => void): void {
        const moment = performance.now();
        change();
        this.options.changed(moment); // first of all, the engine is asked
        this.showAll();
    }

    private makeField(id: string): Field {
        const { knobs, system } = this.options;
        const act = (change: () => void): void => this.act(change);
        if (!this.knob.choices) return rangeField(this.knob, id, knobs, system, act);
        const few = this.knob.choices.length <= 4 && this.knob.choices.every((choice) => choice.label.length <= 40);
        return (few ? radioField : selectField)(this.knob, this.knob.choices, id, knobs, act);
    }
}

/// Sentences may wrap; the quoted line and its caret must stay aligned.
function diagnosticLine(line: string): HTMLElement {
    const quoted = /^\s*\d*\s*\|/.test(line);
    return h("span", { class: quoted ? "quoted" : null }, line || " ");
}

type Act = (change: () => void) => void;

function startText(knob: Knob, knobs: Knobs, system: System): string {
    const start = knobs.startOf(knob);
    if (start === null) return "not set";
    if (typeof start === "number") return knobs.range(knob, system).shown(start);
    return knob.choices?.find((choice) => choice.value === start)?.label ?? start;
}

function rangeField(knob: Knob, id: string, knobs: Knobs, system: () => System, act: Act): Field {
    const slider = h("input", { type: "range", id, min: "0", step: "1" });
    const text = h("input", {
        type: "text",
        id: `${id}-text`,
        spellcheck: "false",
        autocomplete: "off",
        placeholder: "not set",
        "aria-label": `${knob.title}, value with unit`,
    });
    slider.max = String(knobs.range(knob, "metric").ticks);
    slider.addEventListener("input", () => act(() => knobs.slide(knob, Number(slider.value), system())));
    typed(text, knob, knobs, act);
    const show = (retype: boolean): void => {
        const range = knobs.range(knob, system());
        const position = knobs.position(knob);
        if (position !== null) slider.value = String(range.tick(position));
        else if (!knobs.differs(knob)) slider.value = String(Math.round(range.ticks / 2));
        const shown = knobs.shown(knob, system());
        slider.setAttribute("aria-valuetext", shown || "not set");
        slider.classList.toggle("astray", position === null);
        if (retype || document.activeElement !== text) text.value = shown;
    };
    const row = h("div", { class: "knob-row" }, slider, text);
    return { root: h("div", {}, h("label", { for: id }, knob.title), row), inputs: [slider, text], show };
}

/// A text with a unit of either system runs at once; any other when it is finished: on Enter, on leaving, on a pause.
function typed(text: HTMLInputElement, knob: Knob, knobs: Knobs, act: Act): void {
    let pause: ReturnType<typeof setTimeout> | undefined;
    let taken: string | null = null;
    const take = (): void => {
        clearTimeout(pause);
        if ([taken, knobs.shown(knob, "metric"), knobs.shown(knob, "us")].includes(text.value)) return;
        taken = text.value;
        act(() => knobs.type(knob, text.value));
    };
    text.addEventListener("focus", () => (taken = null));
    text.addEventListener("input", () => {
        clearTimeout(pause);
        const known = (["metric", "us"] as const).some((system) => knobs.range(knob, system).read(text.value) !== null);
        if (known) take();
        else pause = setTimeout(take, 700);
    });
    text.addEventListener("change", take);
}

function selectField(knob: Knob, choices: Choice[], id: string, knobs: Knobs, act: Act): Field {
    const select = h("select", { id });
    for (const choice of choices) select.append(h("option", { value: choice.value }, choice.label));
    select.addEventListener("change", () => act(() => knobs.choose(knob, select.value)));
    const show = (): void => {
        select.value = knobs.chosen(knob) ?? "";
    };
    return { root: h("div", {}, h("label", { for: id }, knob.title), select), inputs: [select], show };
}

function radioField(knob: Knob, choices: Choice[], id: string, knobs: Knobs, act: Act): Field {
    const inputs = choices.map((choice) => {
        const input = h("input", { type: "radio", name: id, value: choice.value });
        input.addEventListener("change", () => act(() => knobs.choose(knob, choice.value)));
        return input;
    });
    const lines = choices.map((choice, i) => h("label", { class: "radio" }, inputs[i], ` ${choice.label}`));
    const show = (): void => {
        const chosen = knobs.chosen(knob);
        for (const input of inputs) input.checked = input.value === chosen;
    };
    const group = h("fieldset", {}, h("legend", {}, knob.title), ...lines);
    return { root: group, inputs: [group], show };
}
