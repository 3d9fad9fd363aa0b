/// What a run says besides its curves: headline, figures, warnings, pictures.

import type { Page, Rig, RunReply, Variant } from "../data";
import { h, scrolling } from "../dom";
import { table } from "../figures";
import { list, section } from "../report";
import type { Formats } from "../units";
import { LiveInstant } from "./instant";
import { baseStyle, ghostStyle, liveStyle } from "./lines";

const quietAfter = 900; // ms: a screen reader hears the headline when the knobs rest

export class Results {
    /// Goes above the curves.
    readonly head: HTMLElement;
    /// Go below them.
    readonly sections: HTMLElement[];
    private readonly headline = h("p", { class: "lead" });
    private readonly warned = h("button", { type: "button", class: "plain", onclick: () => this.warnings.focus() });
    private readonly speed = h("span", {});
    private readonly troubled = h("p", { class: "trouble", role: "alert" });
    private readonly stale = h("p", { class: "stale-note" }, "Curves and figures show the last good values.");
    private readonly heard = h("p", { class: "unseen", role: "status" });
    private readonly words = h("ul", {});
    private readonly warnings = h("div", { class: "warnings", tabindex: -1 });
    private readonly figures = scrolling("Figures of the live run and the base");
    private readonly instant: LiveInstant;
    private readonly hidden: HTMLElement[]; // while the reader predicts
    private reply: RunReply | null = null;
    private live: Variant | null = null;
    private compared: [live: Variant, ghost: Variant] | null = null;
    private hearing: ReturnType<typeof setTimeout> | undefined;

    constructor(private readonly page: Page, private readonly formats: Formats) {
        this.instant = new LiveInstant(page, formats);
        const status = h("p", { class: "run-status" }, this.warned, this.speed);
        const caution = h("p", { class: "first-caution" }, formats.sentence(page.cautions[0] ?? ""));
        this.head = h("div", { class: "result-head" },
            this.headline, status, caution, this.troubled, this.stale, this.heard);
        const own = [
            section("Why", this.words), section("Warnings", this.warnings),
            section("Figures", this.caution(), this.figures),
            section("An instant of the pull", this.instant.element),
        ];
        this.hidden = [this.headline, status, ...own];
        this.sections = [...own, section("Cautions", list(page.cautions, formats, "cautions"))];
        this.trouble("");
        formats.onChange(() => {
            if (this.live) this.showWords(this.live);
            if (this.compared) this.showFigures(...this.compared);
        });
    }

    /// The reply that the live run came in.
    take(reply: RunReply): void {
        this.reply = reply;
    }

    /// Says what is wrong, with the curves left as they are; "" when all is well again.
    trouble(text: string): void {
        this.troubled.textContent = text;
        this.troubled.hidden = this.stale.hidden = text === "";
        document.body.classList.toggle("stale", text !== "");
    }

    timing(elapsed: number, simulated: number): void {
        this.speed.textContent = `redrawn in ${elapsed.toFixed(0)} ms (engine ${simulated.toFixed(0)} ms)`;
    }

    /// Leaves out whatever would give the answer away.
    hide(hidden: boolean): void {
        for (const element of this.hidden) element.hidden = hidden;
    }

    showWords(live: Variant): void {
        this.live = live;
        const { system } = this.formats;
        const said = (this.reply?.headline ?? live.headline)[system];
        this.headline.textContent = this.formats.sentence(said || "The knobs stand as in the base.");
        clearTimeout(this.hearing);
        this.hearing = setTimeout(() => (this.heard.textContent = this.headline.textContent), quietAfter);
        this.words.replaceChildren(...live.words[system].map((text) => h("li", {}, this.formats.sentence(text))));
        this.words.parentElement!.hidden = live.words[system].length === 0;
        this.showWarnings(live);
    }

    showFigures(live: Variant, ghost: Variant): void {
        this.compared = [live, ghost];
        const base = this.page.variants.find((variant) => variant.base)!;
        const shown = ghost.base ? [base] : [base, ghost];
        const styles = ghost.base ? [ghostStyle] : [baseStyle, ghostStyle];
        const columns = [...shown, named(live)];
        this.figures.replaceChildren(table(this.page.figures, columns, [...styles, liveStyle], this.formats));
    }

    showPictures(live: Variant): void {
        const rigs: Rig[] = this.reply?.variant === live ? this.reply.rigs : this.page.rigs;
        const beside = this.page.variants.filter((variant) => variant.base && variant.heat);
        this.instant.show({ variant: live, rig: rigs[live.rig], beside });
    }

    private showWarnings(live: Variant): void {
        const own = live.warnings[this.formats.system];
        const all = [...new Set([...own, ...this.page.load_notes, ...live.corrections])];
        this.warnings.replaceChildren(all.length > 0 ? list(all, this.formats) : h("p", {}, "None."));
        const count = `${own.length} warning${own.length === 1 ? "" : "s"}`;
        this.warned.textContent = own.length === 0 ? "no warnings of its own" : count;
        this.warned.classList.toggle("some", own.length > 0);
    }

    private caution(): HTMLElement | null {
        const text = this.page.correction_caution;
        return text === "" ? null : h("p", { class: "caution" }, this.formats.sentence(text));
    }
}

/// The live run is called so whatever it started from.
const named = (live: Variant): Variant => ({ ...live, name: "live", base: false });
