/// A prediction of one question, and how it stands to the answer. No DOM here.

import type { LessonQuestion } from "../data";
import type { Formats } from "../units";

/// Which way a difference goes: less, about the same, more.
export type Way = -1 | 0 | 1;
/// A number (SI), or only the way.
export type Prediction = { kind: "number"; si: number } | { kind: "way"; way: Way };

type Difference = Pick<LessonQuestion, "is_difference" | "alike_within" | "less" | "more">;

/// The way of an SI value.
export function wayOf(si: number, { alike_within }: Difference): Way {
    if (Math.abs(si) < (alike_within ?? 0)) return 0;
    return si < 0 ? -1 : si > 0 ? 1 : 0;
}

/// "cooler", "about the same", "hotter".
export const wayText = (way: Way, { less, more }: Difference): string =>
    way < 0 ? less : way > 0 ? more : "about the same";

/// The number in a field, as shown, else null. Decimal point or comma; a unit may stand behind it.
export function readNumber(text: string, unit: string): number | null {
    const plain = text.replaceAll("\u00a0", " ").replace("\u2212", "-").trim();
    const own = unit.replaceAll("\u00a0", " ");
    const number = plain.endsWith(own) ? plain.slice(0, plain.length - own.length).trim() : plain;
    return /^[+-]?(\d+[.,]?\d*|[.,]\d+)$/.test(number) ? Number(number.replace(",", ".")) : null;
}

/// "4.3 K hotter", "61.2 °C"; of a way alone its word.
export function valueText(si: number, question: LessonQuestion, formats: Formats): string {
    const { unit, decimals, is_difference } = question;
    if (!is_difference) return formats.full(unit, si, decimals);
    const size = formats.full(unit, Math.abs(si), decimals);
    return si === 0 ? size : `${size} ${wayText(si < 0 ? -1 : 1, question)}`;
}

export const predictionText = (prediction: Prediction, question: LessonQuestion, formats: Formats): string =>
    prediction.kind === "way" ? wayText(prediction.way, question) : valueText(prediction.si, question, formats);

/// How far the prediction is off: "1.8 K, yours is hotter"; of a way: "the same", "the other one".
export function offText(prediction: Prediction, answer: number, question: LessonQuestion, formats: Formats): string {
    if (prediction.kind === "way") {
        const way = wayOf(answer, question);
        return way === prediction.way ? "the same" : way === -prediction.way ? "the other one" : "another one";
    }
    const { difference, decimals, less, more } = question;
    const off = prediction.si - answer;
    const size = formats.full(difference, Math.abs(off), decimals);
    return size === formats.full(difference, 0, decimals) ? "none that is shown" : `${size}, yours is ${off > 0 ? more : less}`;
}
