/// Talks to the program that serves this page.

import type { ErrorReply, Live, RunReply, RunRequest } from "../data";
import type { Asked, Outcome } from "./queue";

/// What a request says besides who asks.
export type Wish = Pick<RunRequest, "start" | "knobs">;

/// A file that the program wrote for this page, or why there is none.
export type Export = { kind: "file"; text: string } | { kind: "refused"; error: ErrorReply } | { kind: "unreachable" };

export class Session<Reply extends { sequence: number } = RunReply> {
    private readonly client = [...crypto.getRandomValues(new Uint8Array(12))].map((byte) => byte.toString(16)).join("");

    constructor(private readonly live: Live) {}

    /// POST run. A later sequence ends an earlier one; `signal` only stops waiting for it.
    async run(asked: Asked<Wish>, signal: AbortSignal | null = null): Promise<Outcome<Reply>> {
        const response = await this.post("run", asked.request, asked.sequence, signal);
        if (response.status === 409) return { kind: "superseded" };
        if (!response.ok) return { kind: "refused", ...(await refusal(response)) };
        const reply = (await response.json()) as Reply;
        return reply.sequence === asked.sequence ? { kind: "reply", reply } : { kind: "superseded" };
    }

    /// POST study or report: the text of a file.
    async file(path: "study" | "report", wish: Wish): Promise<Export> {
        try {
            const response = await this.post(path, wish, 0);
            if (!response.ok) return { kind: "refused", error: await refusal(response) };
            return { kind: "file", text: await response.text() };
        } catch {
            return { kind: "unreachable" };
        }
    }

    /// Beside the page, wherever that stands.
    private post(path: string, wish: Wish, sequence: number, signal: AbortSignal | null = null): Promise<Response> {
        const body: RunRequest = { client: this.client, sequence, ...wish };
        return fetch(path, {
            method: "POST",
            headers: { "Content-Type": "application/json", "X-Pullcast-Token": this.live.token },
            body: JSON.stringify(body),
            signal,
        });
    }
}

/// The program's error reply; a status line where there is none.
async function refusal(response: Response): Promise<ErrorReply> {
    const plain = `the program answered ${response.status} ${response.statusText}`.trim();
    try {
        const reply = (await response.json()) as Partial<ErrorReply>;
        return { error: reply.error ?? plain, text: reply.text ?? "", knob: reply.knob ?? "" };
    } catch {
        return { error: plain, text: "", knob: "" };
    }
}

/// Hands a text to the browser as a file to save.
export function download(name: string, type: string, text: string): void {
    const url = URL.createObjectURL(new Blob([text], { type }));
    const link = document.createElement("a");
    link.href = url;
    link.download = name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(url), 10_000);
}
