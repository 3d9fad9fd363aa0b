/// Requests to the program: at most one on its way and one waiting, the newest. Nothing older than what was last
/// handed on is handed on. No DOM here.

/// What came of a request.
export type Outcome<Reply> =
    | { kind: "reply"; reply: Reply }
    | { kind: "refused"; error: string; text: string; knob: string } // the values or the run are wrong
    | { kind: "superseded" }
    | { kind: "unreachable" };

/// An asked run: `moment` is when the reader asked for it.
export interface Asked<Request> {
    sequence: number;
    request: Request;
    moment: number;
}

export class RunQueue<Request, Reply> {
    private sequence = 0;
    private handedOn = 0;
    private busy = false;
    private waiting: Asked<Request> | null = null;

    constructor(
        private readonly send: (asked: Asked<Request>) => Promise<Outcome<Reply>>,
        private readonly handOn: (outcome: Outcome<Reply>, asked: Asked<Request>) => void,
    ) {}

    /// Asks for a run. One that waited gives way to it.
    ask(request: Request, moment: number): number {
        const asked = { sequence: ++this.sequence, request, moment };
        if (this.busy) this.waiting = asked;
        else void this.go(asked);
        return asked.sequence;
    }

    private async go(asked: Asked<Request>): Promise<void> {
        this.busy = true;
        let outcome: Outcome<Reply>;
        try {
            outcome = await this.send(asked);
        } catch {
            outcome = { kind: "unreachable" };
        }
        this.busy = false;
        const next = this.waiting;
        this.waiting = null;
        if (next) void this.go(next);
        this.settle(outcome, asked, next !== null);
    }

    /// A refusal of values that the reader has already left says nothing; a picture of them still helps while dragging.
    private settle(outcome: Outcome<Reply>, asked: Asked<Request>, left: boolean): void {
        if (outcome.kind === "superseded" || asked.sequence <= this.handedOn) return;
        if (outcome.kind !== "reply" && left) return;
        this.handedOn = asked.sequence;
        this.handOn(outcome, asked);
    }
}
