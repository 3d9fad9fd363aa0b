/// How long it takes from turning a knob to the redrawn plots.

declare global {
    interface Window {
        /// The last runs, ms: from the input to after the redraw, and the engine's share of it.
        pullcastTimings: { input_to_drawn: number; simulated: number }[];
    }
}

const kept = 200;

/// Calls back when what was drawn before this call is on the screen.
export function afterDrawn(then: () => void): void {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => {
        port1.close();
        then();
    };
    requestAnimationFrame(() => port2.postMessage(null));
}

export function noteTiming(input_to_drawn: number, simulated: number): void {
    const timings = (window.pullcastTimings ??= []);
    timings.push({ input_to_drawn, simulated });
    if (timings.length > kept) timings.shift();
}
