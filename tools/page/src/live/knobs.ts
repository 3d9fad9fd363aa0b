/// What the knobs say: texts as the study reader takes them, and where the slider of a range stands. No DOM here.

import type { Display, Knob, System, Turnable } from "../data";
import { unitText } from "../units";

/// Decimals at which a step of this size is told from its neighbours (within 5 %).
export function stepDecimals(step: number): number {
    for (let decimals = 0; decimals < 6; ++decimals) {
        if (Math.abs(Number(step.toFixed(decimals)) - step) <= 0.05 * Math.abs(step)) return decimals;
    }
    return 6;
}

/// A range knob in one unit system: slider ticks, SI and texts.
export class Range {
    readonly decimals: number;
    readonly ticks: number; // the slider runs 0..ticks
    private readonly unit: string; // as shown

    constructor(
        private readonly knob: Knob,
        private readonly display: Display,
        step: Display,
        private readonly written: string, // unit as the study reader spells it
    ) {
        this.decimals = stepDecimals(Math.abs(knob.step * step.scale));
        this.unit = plainSpaces(unitText(display.unit));
        this.ticks = Math.max(1, Math.ceil((knob.to - knob.from) / knob.step - 1e-9));
    }

    at(tick: number): number {
        return Math.min(this.knob.to, this.knob.from + tick * this.knob.step);
    }
    tick(si: number): number {
        return Math.min(this.ticks, Math.max(0, Math.round((si - this.knob.from) / this.knob.step)));
    }
    /// A value between the slider's ticks gets one more decimal.
    number(si: number): string {
        const between = Math.abs(this.at(this.tick(si)) - si) > 0.01 * this.knob.step;
        return fixed(si * this.display.scale + this.display.offset, this.decimals + (between ? 1 : 0));
    }
    /// As shown beside the slider: "31.0 °C".
    shown(si: number): string {
        return joined(this.number(si), this.unit);
    }
    /// As sent, and as it would stand in the study: "31.0 degC".
    text(si: number): string {
        return joined(this.number(si), this.written);
    }
    /// The SI value of a text in this system's unit, else null: only the program knows all units.
    read(text: string): number | null {
        const parts = split(text);
        if (!parts || ![this.written, this.unit, this.display.unit].includes(parts.unit)) return null;
        return (Number(parts.number) - this.display.offset) / this.display.scale;
    }
    /// A text that `read` takes, with the unit spelled as the study reader has it: "31 °C" becomes "31 degC".
    sendable(text: string): string {
        return joined(split(text)!.number, this.written);
    }
    /// The other way round.
    spelled(text: string): string {
        return joined(split(text)!.number, this.unit);
    }
}

function split(text: string): { number: string; unit: string } | null {
    const plain = plainSpaces(text).replace("\u2212", "-");
    const match = /^\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*(.*?)\s*$/.exec(plain);
    return match && { number: match[1]!, unit: match[2]! };
}

const plainSpaces = (text: string): string => text.replaceAll("\u00a0", " ");

/// Without a minus before zero.
function fixed(value: number, decimals: number): string {
    const text = value.toFixed(decimals);
    return Number(text) === 0 ? text.replace("-", "") : text;
}

function joined(number: string, unit: string): string {
    return unit ? `${number} ${unit}` : number;
}

/// What one knob is set to.
export interface Setting {
    text: string; // as sent
    si: number | null; // where the slider stands; null: a unit that only the program reads, or a choice
}

/// The state of all knobs: the start variant, and which knobs differ from it.
export class Knobs {
    start: string;
    private readonly settings = new Map<string, Setting>();
    private readonly ranges = new Map<string, Record<System, Range>>();

    constructor(private readonly page: Turnable) {
        this.start = page.live!.start;
        for (const knob of this.all) {
            if (knob.choices) continue;
            const range = (system: System): Range =>
                new Range(knob, page.units[knob.unit][system], page.units[knob.step_unit][system], knob.write[system]);
            this.ranges.set(knob.name, { metric: range("metric"), us: range("us") });
        }
    }

    get all(): Knob[] {
        return this.page.live!.knobs;
    }
    range(knob: Knob, system: System): Range {
        return this.ranges.get(knob.name)![system];
    }
    startOf(knob: Knob): number | string | null {
        return knob.start[this.start] ?? null;
    }
    differs(knob: Knob): boolean {
        return this.settings.has(knob.name);
    }
    get anyDiffers(): boolean {
        return this.settings.size > 0;
    }

    /// The slider was moved.
    slide(knob: Knob, tick: number, system: System): void {
        const range = this.range(knob, system);
        const si = range.at(tick);
        if (this.isStart(knob, si)) this.putBack(knob);
        else this.settings.set(knob.name, { text: range.text(si), si });
    }
    /// A text was typed; it is sent as it is. An empty one puts the knob back.
    type(knob: Knob, text: string): void {
        const trimmed = text.trim();
        if (!trimmed) return this.putBack(knob);
        const start = this.startOf(knob);
        for (const system of ["metric", "us"] as const) {
            const range = this.range(knob, system);
            const si = range.read(trimmed);
            if (si === null) continue;
            const untouched = typeof start === "number" && range.number(si) === range.number(start);
            if (untouched) return this.putBack(knob);
            this.settings.set(knob.name, { text: range.sendable(trimmed), si });
            return;
        }
        this.settings.set(knob.name, { text: trimmed, si: null });
    }
    choose(knob: Knob, value: string): void {
        if (value === this.startOf(knob)) this.putBack(knob);
        else this.settings.set(knob.name, { text: value, si: null });
    }
    putBack(knob: Knob): void {
        this.settings.delete(knob.name);
    }
    putAllBack(): void {
        this.settings.clear();
    }
    /// Takes another variant to start from; a setting that says what it has anyway is dropped.
    startFrom(variant: string): void {
        this.start = variant;
        for (const knob of this.all) {
            const setting = this.settings.get(knob.name);
            if (!setting) continue;
            const same = knob.choices ? setting.text === this.startOf(knob) : this.isStart(knob, setting.si);
            if (same) this.putBack(knob);
        }
    }
    private isStart(knob: Knob, si: number | null): boolean {
        const start = this.startOf(knob);
        return typeof start === "number" && si !== null && Math.abs(si - start) <= 1e-6 * knob.step;
    }

    /// Where the slider stands, SI; null: unknown (a unit that only the program reads, or no start value).
    position(knob: Knob): number | null {
        const setting = this.settings.get(knob.name);
        if (setting) return setting.si;
        const start = this.startOf(knob);
        return typeof start === "number" ? start : null;
    }
    /// The text in the field: as typed, or brought to the chosen system where the value is known.
    shown(knob: Knob, system: System): string {
        const text = this.settings.get(knob.name)?.text;
        const range = this.range(knob, system);
        if (text !== undefined && range.read(text) !== null) return range.spelled(text);
        const si = this.position(knob);
        return si === null ? (text ?? "") : range.shown(si);
    }
    chosen(knob: Knob): string | null {
        const start = this.startOf(knob);
        return this.settings.get(knob.name)?.text ?? (typeof start === "string" ? start : null);
    }

    /// Takes over what `sent` gave earlier; knobs and values that the study no longer has are left out.
    restore(start: string, texts: Record<string, string>): void {
        if (!this.page.variants.some((variant) => variant.name === start)) return;
        this.start = start;
        for (const knob of this.all) {
            const text = texts[knob.name];
            if (text === undefined) continue;
            if (!knob.choices) this.type(knob, text);
            else if (knob.choices.some((choice) => choice.value === text)) this.choose(knob, text);
        }
    }

    /// What a request carries.
    sent(): Record<string, string> {
        return Object.fromEntries([...this.settings].map(([name, setting]) => [name, setting.text]));
    }
}
