/// One instant of a pull: the heat-flow picture and the rig's drawing share a variant and a moment.

import type { Page, Variant } from "./data";
import { h, uniqueId } from "./dom";
import { heatView } from "./heat";
import type { Run } from "./plot";
import { rigDrawing } from "./rig";
import { Track } from "./series";
import type { Formats } from "./units";

/// The section's content; empty where no variant has instants to show.
export function instantSection(page: Page, runs: readonly Run[], formats: Formats): HTMLElement[] {
    const finished = (variant: Variant) => variant.failure === null && variant.instants.length > 0;
    const variants = runs.map((run) => run.variant as Variant).filter(finished);
    if (variants.length === 0) return [];
    return [new InstantView(page, variants, formats).element];
}

class InstantView {
    readonly element: HTMLElement;
    private readonly select = h("select", { id: uniqueId("variant"), onchange: () => this.chooseVariant() });
    private readonly slider = h("input", {
        type: "range", id: uniqueId("instant"), min: 0, step: 1, oninput: () => this.chooseInstant(),
    });
    private readonly moment = h("output", { for: this.slider.id });
    private readonly shown = h("p", { class: "print-only" });
    private readonly heat;
    private readonly rigPlace = h("div", { class: "rig-place" });
    private rig: ReturnType<typeof rigDrawing> | null = null;
    private variant: Variant;
    private time = Infinity; // of the chosen instant; stays when another variant is chosen

    constructor(private readonly page: Page, private readonly variants: Variant[], private readonly formats: Formats) {
        this.variant = variants.find((v) => v.base) ?? variants[0];
        this.heat = heatView(page.heat, formats);
        this.heat.setVariants(variants);
        this.select.append(...variants.map((v, i) =>
            h("option", { value: i, selected: v === this.variant }, `${v.name}: ${v.title}`)));
        formats.onChange(() => this.chooseInstant());
        this.element = h("div", {}, this.controls(),
            this.shown, h("h3", {}, "Where the heat went"),
            h("p", { class: "aside" }, "Energy from the start of the pull up to the instant. Bands of all variants and " +
                "instants have one scale; hatched bands ran against the usual direction."),
            this.heat.element, h("h3", {}, "The rig"), this.rigPlace);
        this.chooseVariant();
    }

    private controls(): HTMLElement {
        return h("div", { class: "instant-controls screen-only" },
            h("label", { for: this.select.id }, "Variant"), this.select,
            h("label", { for: this.slider.id }, "Instant"), this.slider, this.moment);
    }

    private chooseVariant(): void {
        this.variant = this.variants[Math.max(0, this.select.selectedIndex)];
        const { instants, rig } = this.variant;
        this.slider.max = String(instants.length - 1);
        this.slider.value = String(nearest(instants, this.time));
        this.rig = rigDrawing(this.page.rigs[rig], this.variant, this.formats);
        this.rigPlace.replaceChildren(this.rig.element);
        this.show();
    }

    private chooseInstant(): void {
        const index = Number(this.slider.value);
        this.time = index === this.variant.instants.length - 1 ? Infinity : this.variant.instants[index];
        this.show();
    }

    private show(): void {
        const index = Number(this.slider.value);
        const time = this.variant.instants[index];
        const speed = new Track(this.variant.time).at(this.variant.speed, time);
        const end = index === this.variant.instants.length - 1 ? ", end of the pull" : "";
        const words = `${time.toFixed(2)}\u00a0s, ${this.formats.full(this.page.speed_unit, speed, 0)}${end}`;
        this.moment.textContent = words;
        this.slider.setAttribute("aria-valuetext", words);
        this.shown.textContent = `${this.variant.name}: ${this.variant.title}, at ${words}`;
        this.heat.show(this.variant, index);
        this.rig?.show(index);
    }
}

function nearest(instants: readonly number[], time: number): number {
    let best = instants.length - 1;
    instants.forEach((instant, k) => {
        if (Math.abs(instant - time) < Math.abs(instants[best] - time)) best = k;
    });
    return best;
}
