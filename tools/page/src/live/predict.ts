/// Predict first: the reader draws the curve to be expected before the engine's is shown.

import type { Curve } from "../data";
import { h, uniqueId } from "../dom";
import type { Plot } from "../curve_plot";
import type { Run } from "../plot";
import { sketchStyle } from "./lines";
import { Pad, type PadOptions } from "./pad";
import { Sketch, verdict } from "./sketch";

const reachBeyond = 0.5; // of the ghost's span, above and below it
const hardlyChanged = 0.02; // of the ghost's span

export interface PredictOptions extends PadOptions {
    ghost: () => Run;
    live: () => Run;
    redraw: () => void; // draws all plots anew
}

/// The panel, the sketching pad over a plot, and what is hidden meanwhile.
export class Predict {
    readonly element: HTMLElement;
    private sketch: Sketch | null = null; // null: the mode is off
    private curve: Curve;
    private plot: Plot | null = null;
    private shown = false;
    private readonly home = document.createComment("the sketched plot");
    private readonly choice = h("select", { id: uniqueId("predict"), onchange: () => this.choose() });
    private readonly showButton = h("button", { type: "button", onclick: () => this.show() },
        "Show what the engine says");
    private readonly said = h("p", { class: "verdict", role: "status" });
    private readonly frame = h("div", { class: "sketch-frame" });
    private readonly pad: Pad;

    constructor(private readonly options: PredictOptions) {
        const { page, group, formats } = options;
        const drawn = page.curves.filter((curve) => group.plot(curve.key) && options.ghost().variant.curves[curve.key]);
        this.curve = drawn[0];
        this.choice.append(...drawn.map((curve) => h("option", { value: curve.key }, curve.label)));
        this.pad = new Pad(options, options.redraw);
        this.element = h("section", { class: "predict", "aria-label": "Predict first", hidden: true },
            h("p", {}, "Turn the knobs, then draw the curve that you expect: on the chart with mouse, pen or finger, " +
                "or with the keyboard by the round handles (Tab to one, then arrow keys). The engine's answer stays " +
                "hidden until you ask for it."),
            h("p", { class: "predict-choice" }, h("label", { for: this.choice.id }, "Predict which curve"), this.choice,
                this.showButton, h("button", { type: "button", onclick: () => this.clear() }, "Sketch again")),
            this.said, this.frame);
        group.onChange(() => {
            this.judge();
            this.pad.place();
        });
        formats.onChange(() => this.judge());
    }

    get possible(): boolean {
        return this.curve !== undefined;
    }
    get on(): boolean {
        return this.sketch !== null;
    }
    /// True while nothing of the live run may be seen.
    get hides(): boolean {
        return this.on && !this.shown;
    }
    /// The sketch as a line of its plot.
    runs(): Run[] {
        if (!this.sketch) return [];
        const { time, speed } = this.sketch.ghost;
        const name = "your sketch";
        const curves = { [this.curve.key]: this.sketch.values };
        return [{ variant: { name, title: name, failure: null, time, speed, curves }, style: sketchStyle }];
    }

    /// Turns the mode on or off.
    turn(on: boolean): void {
        this.element.hidden = !on;
        if (on) this.choose();
        else this.leave();
    }
    /// The knobs ask for something else: what the engine says of it is hidden again. True: it was shown.
    knobsTurned(): boolean {
        const wasShown = this.shown;
        this.shown = false;
        this.judge();
        return wasShown;
    }
    /// Another line to sketch beside.
    ghostChanged(): void {
        if (this.on) this.choose();
    }
    /// The plots show another live run.
    liveChanged(): void {
        this.judge();
    }

    private choose(): void {
        this.leave();
        const { page, group, ghost } = this.options;
        this.curve = page.curves.find((curve) => curve.key === this.choice.value)!;
        const { time, speed, curves } = ghost().variant;
        this.sketch = new Sketch({ time, speed, values: curves[this.curve.key] ?? time.map(() => null) });
        group.whole();
        group.reach = { [this.curve.key]: this.reach() };
        this.plot = group.plot(this.curve.key)!;
        this.plot.element.replaceWith(this.home);
        this.frame.replaceChildren(this.plot.element, this.pad.element);
        this.pad.open(this.plot, this.sketch, this.reach(), this.curve);
        this.options.redraw();
    }

    private leave(): void {
        this.pad.close();
        this.options.group.reach = {};
        if (this.plot) this.home.replaceWith(this.plot.element);
        this.plot = this.sketch = null;
        this.shown = false;
        this.options.redraw();
    }

    private clear(): void {
        this.sketch?.clear();
        this.shown = false;
        this.options.redraw();
    }

    private show(): void {
        this.shown = true;
        this.options.redraw();
    }

    /// Where one may draw, SI: what was never below zero stays so.
    private reach(): [number, number] {
        const [low, high] = this.bounds();
        const { formats } = this.options;
        const more = reachBeyond * Math.max(high - low, 1e-9 * Math.abs(high));
        const floor = formats.shown(this.curve.unit, low) >= 0 ? formats.si(this.curve.unit, 0) : -Infinity;
        return [Math.max(floor, low - more), high + more];
    }
    private bounds(): [number, number] {
        const values = this.sketch!.ghost.values.filter((value) => value !== null);
        return values.length > 0 ? [Math.min(...values), Math.max(...values)] : [0, 1];
    }

    /// Brings buttons and words to the state.
    private judge(): void {
        const { sketch, shown, curve } = this;
        if (!sketch) return;
        this.showButton.disabled = sketch.empty || shown;
        this.pad.active = !shown;
        if (!shown) {
            this.said.textContent = sketch.empty ? "" : "Sketched. Show the engine's curve when you are content.";
            return;
        }
        const { formats, group, live, page } = this.options;
        const { time, speed, curves } = live().variant;
        const [low, high] = this.bounds();
        const line = { time, speed, values: curves[curve.key] ?? time.map(() => null) };
        const score = sketch.score(line, group.over, hardlyChanged * (high - low));
        this.said.textContent = score
            ? verdict(score, (si) => formats.full(curve.difference, si, curve.decimals),
                (x) => group.placeText(group.over === "speed" ? formats.shown(page.speed_unit, x) : x))
            : "Nothing to compare: the sketch and the engine's curve share no place.";
    }
}
