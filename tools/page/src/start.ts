/// Reads the data that the program wrote beside the script, and shows them by their mode.

import "./style.css";

import { h } from "./dom";

const version = 1;

/// Shows the page's document with the function of its mode; what is wrong is said on the page.
export function start(shows: Record<string, (page: never) => void>): void {
    const text = document.getElementById("pullcast-page")?.textContent ?? "";
    try {
        const page = JSON.parse(text) as { schema: string; schema_version: number; mode: string };
        if (page.schema !== "pullcast.page" || page.schema_version !== version)
            throw new Error(`its data are '${page.schema}' ${page.schema_version}, and it reads pullcast.page ${version}`);
        const show = shows[page.mode];
        if (!show) throw new Error(`it does not know pages of mode '${page.mode}'`);
        show(page as never);
    } catch (error) {
        const reason = `This page cannot be shown: ${(error as Error).message}`;
        document.body.prepend(h("p", { class: "failure", role: "alert" }, reason));
        throw error;
    }
}
