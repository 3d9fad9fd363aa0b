/// Reads the data that the program wrote beside this script, and shows them.

import "./style.css";

import type { Explained, Matched, Page } from "./data";
import { h } from "./dom";
import { renderExplained } from "./explained";
import { renderLive } from "./live";
import { renderMatched } from "./matched";
import { renderReport } from "./report";

const version = 1;

function start(): void {
    const text = document.getElementById("pullcast-page")?.textContent ?? "";
    try {
        const page = JSON.parse(text) as Page | Explained | Matched;
        if (page.schema !== "pullcast.page" || page.schema_version !== version)
            throw new Error(`its data are '${page.schema}' ${page.schema_version}, and it reads pullcast.page ${version}`);
        if (page.mode === "explained") renderExplained(page);
        else if (page.mode === "matched") renderMatched(page);
        else (page.mode === "live" ? renderLive : renderReport)(page);
    } catch (error) {
        const reason = `This page cannot be shown: ${(error as Error).message}`;
        document.body.prepend(h("p", { class: "failure", role: "alert" }, reason));
        throw error;
    }
}

start();
