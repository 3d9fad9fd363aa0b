/// Keeps the knobs in the page's address, so that a reload loses nothing.

import type { Knobs } from "./knobs";

const pause = 300; // ms: browsers slow down pages that write their address often
const startKey = "start";
const knobKey = "knob.";

/// Takes the knobs from the address.
export function restore(knobs: Knobs): void {
    const kept = new URLSearchParams(location.hash.slice(1));
    const texts: Record<string, string> = {};
    for (const [key, text] of kept) if (key.startsWith(knobKey)) texts[key.slice(knobKey.length)] = text;
    knobs.restore(kept.get(startKey) ?? knobs.start, texts);
}

let writing: ReturnType<typeof setTimeout> | undefined;

/// Writes the knobs to the address when they rest.
export function keep(knobs: Knobs): void {
    clearTimeout(writing);
    writing = setTimeout(() => {
        const kept = new URLSearchParams({ [startKey]: knobs.start });
        for (const [name, text] of Object.entries(knobs.sent())) kept.set(knobKey + name, text);
        history.replaceState(null, "", `#${kept}`);
    }, pause);
}
