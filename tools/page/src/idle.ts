/// Work that can wait until the page is on the screen.

type Work = () => void;

const waiting = new Set<Work>();
const least = 5; // ms that must be left for another piece of work
const longestWait = 500; // ms, where the browser is never idle
let asked = false;

/// Does a piece of work when the browser has nothing else to do; once, however often it is asked for before that.
export function whenIdle(work: Work): void {
    waiting.add(work);
    ask();
}

function ask(): void {
    if (asked || waiting.size === 0) return;
    asked = true;
    // Not every browser says when it is idle.
    const known = typeof requestIdleCallback === "function";
    if (known) requestIdleCallback((idle) => run(() => idle.timeRemaining()), { timeout: longestWait });
    else setTimeout(() => run(() => 0));
}

function run(left: () => number): void {
    asked = false;
    for (const work of waiting) {
        waiting.delete(work);
        work();
        if (left() < least) break;
    }
    ask();
}
