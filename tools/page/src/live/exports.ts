/// Saves what the knobs say: as a study, or as a report.

import type { Page } from "../data";
import { h } from "../dom";
import { download, type Session, type Wish } from "./session";

export class Exports {
    readonly element: HTMLElement;
    private readonly said = h("p", { class: "aside", role: "status" });
    private readonly stem: string;

    constructor(
        private readonly page: Pick<Page, "study">,
        private readonly session: Pick<Session, "file">,
        private readonly wish: () => Wish,
        private readonly complain: (knob: string, text: string) => boolean,
    ) {
        this.stem = `${page.study.file.replace(/^.*[\\/]/, "").replace(/\.toml$/, "")}-live`;
        this.element = h("div", { class: "exports" },
            h("button", { type: "button", onclick: () => void this.saveStudy() }, "Save as study (TOML)"),
            h("button", { type: "button", onclick: () => void this.saveReport() }, "Save as report (HTML)"),
            this.said);
    }

    private saveStudy(): Promise<void> {
        const hint = `Put ${this.stem}.toml beside ${this.page.study.file}: the paths in it start there.`;
        return this.save("study", `${this.stem}.toml`, "application/toml", hint);
    }
    private saveReport(): Promise<void> {
        const hint = `${this.stem}.html opens in any browser, without the program.`;
        return this.save("report", `${this.stem}.html`, "text/html", hint);
    }

    private async save(path: "study" | "report", name: string, type: string, hint: string): Promise<void> {
        this.said.textContent = `Writing ${name} \u2026`;
        const saved = await this.session.file(path, this.wish());
        if (saved.kind === "file") {
            download(name, type, saved.text);
            this.said.textContent = hint;
        } else if (saved.kind === "refused") {
            const { knob, text, error } = saved.error;
            const placed = this.complain(knob, text || error);
            const why = placed ? "a value cannot be used, see the knob that is marked." : error;
            this.said.textContent = `Not saved: ${why}`;
        } else {
            this.said.textContent = "Not saved: the program cannot be reached.";
        }
    }
}
