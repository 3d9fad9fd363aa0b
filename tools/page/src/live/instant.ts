/// Heat-flow picture and rig drawing of the live run at an instant.

import type { Page, Rig, Variant } from "../data";
import { h, uniqueId } from "../dom";
import { heatView } from "../heat";
import { afterDrawn } from "../later";
import { rigDrawing, type RigDrawing } from "../rig";
import { Track } from "../series";
import type { Formats } from "../units";

/// What the pictures show: a run, its rig, and what it shares the scale of heat with.
export interface Shown {
    variant: Variant;
    rig: Rig;
    beside: Variant[];
}

export class LiveInstant {
    readonly element: HTMLElement;
    private readonly slider = h("input", {
        type: "range", id: uniqueId("instant"), min: 0, step: 1, oninput: () => this.moved(),
    });
    private readonly moment = h("output", { for: this.slider.id });
    private readonly heat;
    private readonly rigPlace = h("div", { class: "rig-place" });
    private drawing: RigDrawing | null = null;
    private drawn = ""; // the rig that `drawing` shows
    private variant: Variant | null = null;
    private time = Infinity; // of the chosen instant; past the end: the last one

    constructor(private readonly page: Page, private readonly formats: Formats) {
        this.heat = heatView(page.heat, formats);
        formats.onChange(() => this.draw());
        this.element = h("div", {},
            h("div", { class: "instant-controls" },
                h("label", { for: this.slider.id }, "Instant"), this.slider, this.moment),
            h("h3", {}, "Where the heat went"),
            h("p", { class: "aside" }, "Energy of the live run from the start of the pull up to the instant; hatched " +
                "bands ran against the usual direction."),
            this.heat.element, h("h3", {}, "The rig"), this.rigPlace);
    }

    show({ variant, rig, beside }: Shown): void {
        this.variant = variant;
        this.heat.setVariants([...beside, variant]);
        this.showRig(rig, variant);
        this.slider.max = String(variant.instants.length - 1);
        this.slider.value = String(this.nearest());
        this.draw();
    }

    /// The drawing stays while the rig is the same, so that nothing jumps or closes.
    private showRig(rig: Rig, variant: Variant): void {
        const wanted = JSON.stringify(rig);
        if (this.drawing && wanted === this.drawn) return this.drawing.take(variant);
        this.drawing = rigDrawing(rig, variant, this.formats);
        this.drawn = wanted;
        this.rigPlace.style.minHeight = `${this.rigPlace.offsetHeight}px`;
        this.rigPlace.replaceChildren(this.drawing.element);
        afterDrawn(() => (this.rigPlace.style.minHeight = ""));
    }

    private nearest(): number {
        const { instants } = this.variant!;
        const last = instants.length - 1;
        if (this.time >= instants[last]) return last;
        const after = instants.findIndex((instant) => instant >= this.time);
        return after > 0 && this.time - instants[after - 1] < instants[after] - this.time ? after - 1 : after;
    }

    private moved(): void {
        const index = Number(this.slider.value);
        this.time = index === this.variant!.instants.length - 1 ? Infinity : this.variant!.instants[index];
        this.draw();
    }

    private draw(): void {
        if (!this.variant) return;
        const index = Number(this.slider.value);
        const time = this.variant.instants[index];
        const speed = new Track(this.variant.time).at(this.variant.speed, time);
        const words = `${time.toFixed(2)}\u00a0s, ${this.formats.full(this.page.speed_unit, speed, 0)}`;
        this.moment.textContent = words;
        this.slider.setAttribute("aria-valuetext", words);
        this.heat.show(this.variant, index);
        this.drawing!.show(index);
    }
}
