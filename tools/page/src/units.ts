/// Numbers and units as the page shows them, in the unit system that the reader chose.

import type { Display, InSystems, System, UnitKey } from "./data";

const minus = "\u2212";
const noBreak = "\u00a0";
const roundingResidual = 1e-12; // below it the program writes "<1e-12" too

/// A number with a fixed number of decimals and a true minus sign; never "-0.0". Negative decimals: one digit, "3e-07".
export function numberText(shown: number, decimals: number): string {
    if (decimals < 0) return residualText(Math.abs(shown));
    const text = shown.toFixed(decimals);
    if (!text.startsWith("-")) return text;
    return Number(text) === 0 ? text.slice(1) : minus + text.slice(1);
}

function residualText(size: number): string {
    if (size < roundingResidual) return `<1e${minus}12`;
    const [digit, power] = size.toExponential(0).split("e");
    return `${digit}e${Number(power) < 0 ? minus : "+"}${power.slice(1).padStart(2, "0")}`;
}

/// A unit as print sets it: "degC" becomes °C, "m^3" m³; it never breaks over a line.
export function unitText(unit: string): string {
    return degreeText(unit).replace(/\^2/g, "²").replace(/\^3/g, "³").replaceAll(" ", noBreak);
}

/// "degC" as print sets it.
export const degreeText = (text: string): string => text.replace(/\bdeg([CF])\b/g, "°$1");

/// Turns SI numbers into what is shown and tells listeners when the reader chooses the other system.
export class Formats {
    private listeners = new Set<() => void>();

    private readonly quantity: RegExp; // a number and its unit in a sentence

    constructor(private readonly units: Record<UnitKey, InSystems<Display>>, private current: System) {
        const symbols = Object.values(units).flatMap((u) => [u.metric.unit, u.us.unit]).filter((unit) => unit !== "");
        const longestFirst = [...new Set(symbols)].sort((a, b) => b.length - a.length);
        const escaped = longestFirst.map((unit) => unit.replace(/[.*+?^${}()|[\]\\/]/g, "\\$&"));
        this.quantity = new RegExp(`(\\d) (${escaped.join("|") || "$^"})(?![\\w^])`, "g");
    }

    get system(): System {
        return this.current;
    }

    /// Chooses a system; listeners run if it is another one.
    choose(system: System): void {
        if (system === this.current) return;
        this.current = system;
        for (const listener of [...this.listeners]) listener();
    }

    /// Calls back after each change of system; returns what ends that.
    onChange(listener: () => void): () => void {
        this.listeners.add(listener);
        return () => this.listeners.delete(listener);
    }

    display(key: UnitKey): Display {
        const display = this.units[key]?.[this.current];
        if (!display) throw new Error(`the page's data name no unit '${key}'`);
        return display;
    }

    /// The unit's symbol; "" for a bare number.
    unit(key: UnitKey): string {
        return unitText(this.display(key).unit);
    }

    /// The program writes sentences for a terminal ("-4.1 degC"); print has its signs, and no unit leaves its number.
    sentence(text: string): string {
        const kept = text.replace(this.quantity, (_, digit: string, unit: string) => digit + noBreak + unitText(unit));
        return degreeText(kept).replace(/(^|[\s(])-(?=\d)/g, `$1${minus}`);
    }

    /// The number that is shown for an SI value.
    shown(key: UnitKey, si: number): number {
        const display = this.display(key);
        return si * display.scale + display.offset;
    }

    /// The SI value of a shown number.
    si(key: UnitKey, shown: number): number {
        const display = this.display(key);
        return (shown - display.offset) / display.scale;
    }

    /// Number alone: "81.2"; a dash where there is none.
    text(key: UnitKey, si: number | null | undefined, decimals: number): string {
        return si === null || si === undefined ? "–" : numberText(this.shown(key, si), decimals);
    }

    /// Number with its unit: "81.2 °C".
    full(key: UnitKey, si: number | null | undefined, decimals: number): string {
        const unit = this.unit(key);
        return this.text(key, si, decimals) + (unit ? noBreak + unit : "");
    }

    /// A difference with its sign: "+4.2", "−0.6", and "0.0" where it rounds to none.
    signed(key: UnitKey, si: number, decimals: number): string {
        const text = this.text(key, si, decimals);
        return text.startsWith(minus) || Number(text) === 0 ? text : `+${text}`;
    }
}
