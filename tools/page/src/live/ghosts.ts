/// The line beside the live one: a variant of the study, or a run that was pinned.

import type { Page, Variant } from "../data";
import { h, uniqueId } from "../dom";
import type { Run } from "../plot";
import { ghostStyle } from "./lines";

export class Ghosts {
    readonly element: HTMLElement;
    private readonly choice = h("select", { id: uniqueId("ghost"), onchange: () => this.choose(this.choice.value) });
    private pinned: Variant | null = null;
    private variant: Variant;

    constructor(
        private readonly page: Page, private readonly live: () => Variant, private readonly chosen: () => void,
    ) {
        this.variant = page.variants.find((variant) => variant.base) ?? page.variants[0];
        const label = ({ name, title, base }: Variant) => `${name}: ${title}${base ? " (base)" : ""}`;
        this.choice.append(...page.variants.filter((variant) => variant.failure === null).map((variant, i) =>
            h("option", { value: i, selected: variant === this.variant }, label(variant))));
        this.element = h("p", { class: "ghost" }, h("label", { for: this.choice.id }, "Beside it, grey"), this.choice,
            h("button", { type: "button", onclick: () => this.pin() }, "Pin this run"));
    }

    get run(): Run {
        return { variant: this.variant, style: ghostStyle };
    }

    private choose(value: string): void {
        const studied = this.page.variants.filter((variant) => variant.failure === null);
        this.variant = value === "pinned" ? this.pinned! : studied[Number(value)];
        this.chosen();
    }

    private pin(): void {
        if (!this.pinned) this.choice.append(h("option", { value: "pinned" }, "the pinned run"));
        this.pinned = { ...this.live(), name: "pinned", title: "the pinned run", base: false };
        this.choice.value = "pinned";
        this.choose("pinned");
    }
}
