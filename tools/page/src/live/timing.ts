/// How long it takes from turning a knob to the redrawn plots.

declare global {
    interface Window {
        /// The last runs, ms: from the input to after the redraw, and the engine's share of it.
        pullcastTimings: { input_to_drawn: number; simulated: number }[];
    }
}

const kept = 200;

export function noteTiming(input_to_drawn: number, simulated: number): void {
    const timings = (window.pullcastTimings ??= []);
    timings.push({ input_to_drawn, simulated });
    if (timings.length > kept) timings.shift();
}
