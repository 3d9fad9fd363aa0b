/// Work that can wait until the page is on the screen.

type Work = () => void;

const waiting = new Set<Work>();
const most = 12; // ms at a time: input and frames come in between
let asked = false;

/// Calls back when what was drawn before this call is on the screen.
export function afterDrawn(then: Work): void {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => {
        port1.close();
        then();
    };
    requestAnimationFrame(() => port2.postMessage(null));
}

/// Does a piece of work after the next frame, in turn with others; once, however often it is asked for before that.
export function later(work: Work): void {
    waiting.add(work);
    if (!asked) afterDrawn(run);
    asked = true;
}

function run(): void {
    const start = performance.now();
    try {
        for (const work of waiting) {
            waiting.delete(work);
            work();
            if (performance.now() - start > most) break;
        }
    } finally {
        asked = waiting.size > 0;
        if (asked) setTimeout(run);
    }
}
