/// Reads the data that the program wrote beside this script, and shows them.

import "./style.css";

import { renderAnswers } from "./answers";
import { renderChoice } from "./choice";
import { renderContents } from "./contents";
import type { Answers, Chosen, Contents, Day, Explained, Lesson, Matched, Page } from "./data";
import { renderDay } from "./day";
import { h } from "./dom";
import { renderExplained } from "./explained";
import { renderLesson } from "./lesson";
import { renderLive } from "./live";
import { renderMatched } from "./matched";
import { renderReport } from "./report";

const version = 1;

function start(): void {
    const text = document.getElementById("pullcast-page")?.textContent ?? "";
    try {
        const page = JSON.parse(text) as Page | Explained | Matched | Day | Chosen | Lesson | Contents | Answers;
        if (page.schema !== "pullcast.page" || page.schema_version !== version)
            throw new Error(`its data are '${page.schema}' ${page.schema_version}, and it reads pullcast.page ${version}`);
        if (page.mode === "explained") renderExplained(page);
        else if (page.mode === "day") renderDay(page);
        else if (page.mode === "choice") renderChoice(page);
        else if (page.mode === "matched") renderMatched(page);
        else if (page.mode === "lesson") renderLesson(page);
        else if (page.mode === "contents") renderContents(page);
        else if (page.mode === "answers") renderAnswers(page);
        else (page.mode === "live" ? renderLive : renderReport)(page);
    } catch (error) {
        const reason = `This page cannot be shown: ${(error as Error).message}`;
        document.body.prepend(h("p", { class: "failure", role: "alert" }, reason));
        throw error;
    }
}

start();
