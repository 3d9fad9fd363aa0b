// A document of measured pulls for the page, all of it invented: six pulls of a rig that is nobody's, with noise from a
// fixed sequence. And the page that holds it, put together as the program does.
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { source, temporaryFolder } from "./harness.mjs";

const rpm = Math.PI / 30, hp = 745.6998715822702, psi = 6894.757293168361;
const same = (unit, scale = 1, offset = 0) => ({ metric: { unit, scale, offset }, us: { unit, scale, offset } });
const two = (metric, us) => ({ metric: { unit: metric[0], scale: metric[1], offset: metric[2] ?? 0 }, us: { unit: us[0], scale: us[1], offset: us[2] ?? 0 } });
const units = {
    "K|temperature": two(["degC", 1, -273.15], ["degF", 1.8, -459.67]), "dK|": two(["K", 1], ["degF", 1.8]),
    "Pa|pressure": two(["kPa", 1e-3], ["psi", 1 / psi]), "W|power": two(["kW", 1e-3], ["hp", 1 / hp]),
    "rad/s|speed": same("rpm", 1 / rpm), "1|": same(""), "s|": same("s"), "1|share": same("%", 100), "rad|angle": same("deg", 180 / Math.PI),
    "m^3/s|coolant": two(["L/min", 6e4], ["gal/min", 60 / 0.003785411784]),
};
const both = (text) => ({ metric: text, us: text });

/// Noise about zero, the same in every run.
function noise(seed) {
    let state = seed;
    return () => ((state = (state * 1103515245 + 12345) % 2147483648) / 2147483648 - 0.5) * 2;
}

const channel = (key, label, unit, difference, decimals, size, at, fitted = true) => ({ key, label, unit, difference, decimals, fitted, size, at });
const kelvin = ["K|temperature", "dK|"], kilopascal = ["Pa|pressure", "Pa|pressure"];
const channels = [
    channel("intake_temperature", "intake temperature", ...kelvin, 1, 1, (x, p) => 309 + p.hot + (p.slim ? 31 : 24) * x ** 1.5),
    channel("blower_outlet_temperature", "temperature after the blower", ...kelvin, 1, 2, (x, p) => 330 + p.hot + 95 * x),
    channel("manifold_pressure", "manifold pressure", ...kilopascal, 1, 800, (x, p) => 142e3 + 38e3 * x - (p.slim ? 0 : 1500) - 300 * p.hot),
    channel("coolant_in_temperature", "coolant before the core", ...kelvin, 1, 0.7, (x, p) => 303 + p.hot + 6 * x),
    channel("coolant_flow", "coolant flow", "m^3/s|coolant", "m^3/s|coolant", 1, 5e-6, () => 2.4e-4),
    channel("wheel_power", "power at the wheels", "W|power", "W|power", 1, 2500, (x, p) => 95e3 + 190e3 * x - 45e3 * x ** 3 - 600 * p.hot),
    channel("spark", "spark advance", "rad|angle", "rad|angle", 1, 0.006, (x, p) => 0.24 + 0.14 * x - 0.004 * p.hot, false),
];

function overlay({ key, size, at }, pull, k) {
    const next = noise(17 + 101 * k + key.length);
    const bins = Array.from({ length: 38 }, (_, i) => (i + 0.5) / 38);
    const speed = bins.map((x) => (2100 + 60 * k + 4600 * x) * rpm);
    const computed = bins.map((x) => at(x, pull));
    const measured = bins.map((x, i) => (k === 1 && i > 15 && i < 19 ? null : computed[i] + size * (0.7 * next() + 0.5 * Math.sin(7 * x + k))));
    const rest = computed.map((c, i) => (measured[i] === null ? null : c - measured[i]));
    const known = rest.filter((r) => r !== null);
    const worst = known.reduce((a, b) => (Math.abs(b) > Math.abs(a) ? b : a));
    const mean = known.reduce((a, b) => a + b) / known.length;
    const around = known.map((r) => r - mean);
    const square = around.reduce((s, r) => s + r * r, 0);
    return {
        channel: key, speed, measured, computed, worst, worst_speed: speed[rest.indexOf(worst)],
        rms: Math.sqrt(known.reduce((s, r) => s + r * r, 0) / known.length),
        lag_correlation: around.slice(1).reduce((s, r, i) => s + r * around[i], 0) / square,
    };
}

const slim = { name: "slim", title: "slim core" }, deep = { name: "deep", title: "deep core" };
const pulls = [
    ["spring-1", "spring practice, first pull", slim, 0], ["spring-2", "spring practice, second pull", slim, 2.5],
    ["spring-3", "spring practice, third pull", slim, 4], ["summer-1", "summer test day, first pull", deep, 11],
    ["summer-2", "summer test day, second pull", deep, 13], ["summer-3", "summer-3", deep, 14],
].map(([name, title, variant, hot], k) => ({
    name, title, variant: variant.name, log: `../logs/${name.slice(0, 6)}.csv`, lines: `lines ${120 + 900 * (k % 3)} to ${431 + 900 * (k % 3)}`,
    conditions: [283 + hot, 98e3 - 40 * hot, k === 4 ? null : 0.55 - 0.01 * hot, 301 + hot, 360, 5.4 + 0.1 * k],
    remarks: both(k === 1 ? ["intake temperature: 3 of 38 bins are left out: the reading stuck at 41.0 degC"] : []),
    overlays: channels.filter((c) => !(k === 5 && c.key === "coolant_flow")).map((c) => overlay(c, { slim: variant === slim, hot }, k)),
}));

const figure = (key, label, unit, difference, from, to, half, no_worse = null, words = "") => {
    const [low, high] = [to - from - half, to - from + half];
    const verdict = low > 0 ? "rises" : high < 0 ? "falls" : "cannot tell";
    return { key, label, unit, difference, decimals: 1, from, to, low, high, verdict, no_worse, words: both(words) };
};
const figures = (shift) => [
    figure("intake_redline", "intake temperature at redline", ...kelvin, 340.2, 333.1 + shift, 1.9),
    figure("charge_rise", "rise of the charge over the pull", "dK|", "dK|", 31.4, 24.2 + shift, 1.1),
    figure("boost_redline", "boost at redline", ...kilopascal, 79.6e3, 78.1e3, 2.3e3, null, "Three more pulls of each would tell 1.5 kPa."),
    figure("crank_power", "largest crank power", "W|power", "W|power", 301.2e3, 302.9e3 - 1e3 * shift, 2.6e3, { limit: 1506, worse: "falls", shown: 1.7e3 - 1e3 * shift - 2.6e3 > -1506 }),
    figure("knock_margin", "knock margin, smallest", "rad|angle", "rad|angle", 0.021, 0.052 - 0.004 * shift, 0.012),
];
const value = (title, of, unit, difference, decimals, now, deviation, expected, at_bound = false) =>
    ({ title, of, unit, difference, decimals, value: now, deviation, expected, at_bound });
const factor = { value: 1, deviation: 0.15 };
const parameters = [
    value("heat conductance of the core", "slim", "1|", "1|", 3, 0.931, 0.042, factor), value("heat conductance of the core", "deep", "1|", "1|", 3, 1.084, 0.055, factor),
    value("coolant pump", "", "1|", "1|", 3, 1.25, null, null, true), value("blower leakage", "", "1|", "1|", 3, 0.987, 0.021, factor),
    value("coolant at the start", "spring-1", "K|temperature", "dK|", 1, 302.42, 0.6, { value: 301.9, deviation: 2 }),
    value("coolant at the start", "summer-2", "K|temperature", "dK|", 1, 314.6, 0.5, { value: 315, deviation: 2 }),
];
const pair = (i, k) => (i === k ? 1 : [[0, 2], [2, 0]].some(([a, b]) => a === i && b === k) ? -0.97 : Math.sin(3 * (i + k) + i * k) * 0.6);

/// The document; `change` may take parts of it away.
export const sample = (change = {}) => ({
    schema: "pullcast.page", schema_version: 1, mode: "matched", program: { name: "pullcast", version: "0.0.0" },
    study: { title: "What the core did <i>&</i>", question: "Did the deep core do it, or the weather?", note: "All of this is invented.", file: "what-the-core-did.toml", hash: "0123456789abcdef" },
    units, system: "metric", speed_unit: "rad/s|speed",
    headline: {
        metric: "Under the same conditions the deep core lowers the intake temperature at redline by 7.1 K (5.2 to 9.0 K); what it does to power cannot be told from these pulls: -0.9 to 4.3 kW.",
        us: "Under the same conditions the deep core lowers the intake temperature at redline by 12.8 degF (9.4 to 16.2 degF); what it does to power cannot be told from these pulls: -1.2 to 5.8 hp.",
    },
    checklist: [
        { item: "ambient temperature", state: "differs", words: { metric: "10.0 to 24.0 degC: taken out by the reference", us: "50 to 75 degF: taken out by the reference" } },
        { item: "gear and drum", state: "alike", words: both("the drum turns 0.412 times as fast as the crank in all of them") },
        { item: "fuel", state: "unknown", words: both("no log says it; the study states pump-98 for all") },
    ],
    conditions: [
        ["ambient temperature", "K|temperature", 1, 295.15], ["ambient pressure", "Pa|pressure", 1, 98e3], ["humidity", "1|share", 0, 0.45],
        ["coolant before the core at the start", "K|temperature", 1, 305.15], ["engine coolant at the start", "K|temperature", 1, 360], ["duration of the pull", "s|", 1, null],
    ].map(([label, unit, decimals, reference]) => ({ label, unit, decimals, reference })),
    channels: channels.map(({ size, at, ...shown }) => shown), pulls,
    comparisons: ["same pulley", "same manifold pressure"].map((question, k) => ({
        from: slim, to: deep, question,
        words: both(k === 0 ? ["Nothing but the core is exchanged; boost falls with the deeper core's loss of pressure."]
            : ["Held at 178 kPa at redline: the pulley of the deep core is 79.1 mm for it.", "A sensor after the blower would narrow the interval of power the most."]),
        figures: figures(k),
    })),
    parameters, correlations: parameters.map((_, i) => parameters.map((__, k) => pair(i, k))),
    fit_words: both(["The rig follows the pulls within 1.1 times the accuracy of the sensors.", "The slim core's conductance and the coolant pump cannot be told apart from these pulls."]),
    explanations: [{
        from: { name: "spring-2", title: "spring practice, second pull" }, to: { name: "summer-2", title: "summer test day, second pull" }, pulls: 8,
        causes: [
            { title: "the deep core", changes: both(["cooler: slim -> deep"]) },
            { title: "weather", changes: { metric: ["ambient.temperature: 12.4 degC -> 22.9 degC"], us: ["ambient.temperature: 54.3 degF -> 73.2 degF"] } },
            { title: "heat left from before", changes: both(["start_coolant_temperature: higher"]) },
        ],
        figures: [{
            key: "intake_redline", label: "intake temperature at redline", unit: "K|temperature", difference: "dK|", decimals: 1, from: 343.1, to: 349.6,
            shares: [-7.2, 9.6, 4.1].map((share) => ({ share, alone: share * 1.05, last: share * 0.95 })),
            words: { metric: "+6.5 K; most by weather: +9.6 K", us: "+11.7 degF; most by weather: +17.3 degF" },
        }],
        words: { metric: ["Measured beside it: +6.9 K."], us: ["Measured beside it: +12.4 degF."] },
    }],
    how_to_read: both(["An interval holds the true change 19 times in 20, if the rig and the stated accuracies are right.", "An interval that holds no change says that nothing can be told, not that nothing changed."]),
    cautions: ["The intervals know nothing of what the rig leaves out.", "Engines are damaged by knock: listen, and leave a reserve."],
    ...change,
});

/// A file with the page of a document, put together from the bundle as tools/report/page.cpp does.
export function pageOf(data) {
    const [style, script] = ["css", "js"].map((kind) => readFileSync(join(source, "tools/page/bundle", `page.${kind}`), "utf8"));
    const file = join(temporaryFolder(), "match.html");
    writeFileSync(file, `<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n` +
        `<meta name="viewport" content="width=device-width, initial-scale=1">\n<title>match</title>\n<style>${style}</style>\n</head>\n<body>\n` +
        `<script type="application/json" id="pullcast-page">${JSON.stringify(data).replaceAll("<", "\\u003c")}</script>\n<script>${script}</script>\n</body>\n</html>\n`);
    return file;
}
