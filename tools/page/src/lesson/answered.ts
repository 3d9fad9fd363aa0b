/// What the reader said, what the run says, and what the run before said.

import type { DayReply, LessonQuestion } from "../data";
import { h } from "../dom";
import type { Formats } from "../units";
import { offText, predictionText, type Prediction } from "./prediction";

/// A run with what was predicted of it.
export interface Answered {
    reply: DayReply;
    predictions: (Prediction | null)[];
    turned: string; // what the knobs said, in words; "" as the lesson has it
}

export const answerText = (reply: DayReply, question: number, formats: Formats): string =>
    formats.sentence(reply.answers[question]!.words[formats.system]);

/// The questions with their answers, in the units that are chosen now.
export const answeredList = (
    questions: readonly LessonQuestion[], now: Answered, before: Answered | null, formats: Formats,
): HTMLElement => h("ol", { class: "questions answered" }, ...questions.map((question, k) =>
    h("li", {}, h("p", { class: "question-text" }, question.text), facts(question, k, now, before, formats))));

function facts(
    question: LessonQuestion, k: number, now: Answered, before: Answered | null, formats: Formats,
): HTMLElement {
    const { reply, predictions } = now;
    const prediction = predictions[k];
    const value = reply.answers[k]!.value;
    const rows: [string, string][] = [
        ["You said", prediction ? predictionText(prediction, question, formats) : "nothing (you left it out)"],
        ["The run says", answerText(reply, k, formats)],
    ];
    if (prediction && value !== null) rows.push([prediction.kind === "way" ? "Your way is" : "Difference", offText(prediction, value, question, formats)]);
    if (before) rows.push(["The run before", answerText(before.reply, k, formats)]);
    return h("dl", { class: "facts" }, ...rows.flatMap(([title, text], row) =>
        [h("dt", {}, title), h("dd", { class: row === 1 ? "said" : null }, text)]));
}
