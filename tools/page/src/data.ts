/// What the program hands to a page: the one contract between the C++ side (tools/report) and this folder.
/// All numbers are SI; `UnitKey` names the entry of `units` that turns them into what is shown. NaN is null.

export type * from "./data_more";

export type UnitKey = string; // "Pa|boost": schema unit and quantity
export type System = "metric" | "us";

/// shown = si * scale + offset. `decimals` are the page's for both systems.
export interface Display {
    unit: string; // "kPa"; "" for a bare number
    scale: number;
    offset: number;
}
export type InSystems<T> = Record<System, T>;

/// A figure that variants are compared by (a row of the table).
export interface Figure {
    key: string;
    label: string; // leading spaces: belongs to the row above
    group: string; // "Power"
    unit: UnitKey;
    difference: UnitKey; // temperatures: a difference has another unit entry
    decimals: number; // negative: shown as 3e-07
    doc: string;
}

/// A quantity over the pull; each that a chart names makes one plot with one line a variant.
export interface Curve {
    key: string;
    label: string; // "charge temperature"
    unit: UnitKey;
    difference: UnitKey;
    decimals: number;
    doc: string;
    band: string | null; // key of the curve that its plot shows too, as the other edge of a band; same unit
}
/// Plots that are read together under one heading.
export interface Chart {
    key: string;
    title: string; // "Intake and charge temperature"
    doc: string; // one sentence: what to look for
    curves: string[]; // keys
}

/// A component as the drawing shows it.
export interface RigComponent {
    name: string;
    model: string; // "blower.geometric"
    role: string; // "blower"
    summary: string;
    kind: "storage" | "link" | "watch"; // holds something, moves something, only looks or commands
    channels: number[]; // indices into Rig.channels, most telling first
}
export type Domain = "gas" | "coolant" | "heat" | "shaft" | "signal";
export interface RigEdge {
    from: string; // component; the arrow points the way that is positive
    to: string;
    domain: Domain;
    moves: boolean; // false: `to` only reads
    label: string; // "" or which node of a storage ("wall")
}
export interface Rig {
    components: RigComponent[]; // in the order of the rig file
    edges: RigEdge[];
    channels: { name: string; unit: UnitKey; doc: string }[];
}

/// Where energy went from one place to another up to an instant, J, cumulated from the pull's start. Negative: backwards.
export interface HeatFlow {
    key: string;
    from: string; // key of a place
    to: string;
    doc: string;
    derived: boolean; // found as what is left, not metered
}
export interface HeatPlace {
    key: string;
    label: string; // "charge air"
    role: "source" | "through" | "end";
}
export interface HeatPicture {
    places: HeatPlace[]; // every `through` place: what flows in flows out
    flows: HeatFlow[];
}

export interface LedgerLine {
    unit: string;
    stored_change: number;
    into: number;
    out: number;
    residual: number;
    relative: number | null;
}

export interface Variant {
    name: string;
    title: string;
    base: boolean;
    failure: string | null; // then everything below `warnings` is empty or null
    new_parts: string; // "deep core (640 EUR)"
    headline: InSystems<string>; // "" for the base
    words: InSystems<string[]>; // beside the headline: surprises that are expected, and what they can be mistaken for
    warnings: InSystems<string[]>;
    corrections: string[];
    figures: Record<string, number | null>;
    time: number[]; // s
    speed: number[]; // rad/s of the crank
    curves: Record<string, (number | null)[] | null>; // null: the rig has no such thing
    instants: number[]; // s, for `heat` and `rig_values`
    heat: Record<string, number[]> | null; // by flow; null: nothing to draw
    rig: number; // index into Page.rigs
    rig_values: (number | null)[][]; // [channel][instant]
    ledger: Record<"energy" | "gas" | "water" | "coolant", LedgerLine> | null;
    solver: Record<string, number> | null;
    parts: { component: string; slot: string; name: string; file: string; price: string }[];
    changes: { path: string; before: string; after: string; everywhere: boolean }[];
}

export interface Page {
    schema: "pullcast.page";
    schema_version: 1;
    mode: "report" | "live";
    program: { name: string; version: string };
    study: { title: string; question: string; note: string; file: string; hash: string };
    headline: InSystems<string>;
    units: Record<UnitKey, InSystems<Display>>;
    system: System; // shown first
    speed_unit: UnitKey;
    figures: Figure[];
    curves: Curve[];
    charts: Chart[];
    heat: HeatPicture;
    rigs: Rig[];
    variants: Variant[]; // in the order of the study
    common_warnings: InSystems<string[]>; // said of every variant
    correction_caution: string;
    load_notes: string[]; // warnings while the files were read
    assumptions: string[];
    cautions: string[];
    live: Live | null;
}

// ---- change by cause ------------------------------------------------------------------------------------------------

/// What one cause has to do with a change, SI.
export interface Share {
    share: number; // Shapley's: the shares of all causes add up to the change
    alone: number; // this cause and no other
    last: number; // this cause after all others
}
export interface ExplainedFigure {
    key: string;
    label: string;
    unit: UnitKey;
    difference: UnitKey;
    decimals: number;
    from: number;
    to: number;
    shares: Share[]; // in the order of the causes
    words: InSystems<string>;
}
/// The change between two variants of a study, split by cause: a page of its own.
export interface Explained {
    schema: "pullcast.page";
    schema_version: 1;
    mode: "explained";
    program: { name: string; version: string };
    study: { title: string; file: string; hash: string };
    units: Record<UnitKey, InSystems<Display>>;
    system: System; // shown first
    from: { name: string; title: string };
    to: { name: string; title: string };
    pulls: number;
    causes: { title: string; changes: InSystems<string[]> }[];
    figures: ExplainedFigure[];
    not_there: InSystems<string[]>; // sentences on figures that were asked for
    how_to_read: string;
    cautions: string[];
}

// ---- measured pulls -------------------------------------------------------------------------------------------------

/// A channel of the logs that the rig knows too.
export interface MeasuredChannel {
    key: string; // "intake_temperature"
    label: string;
    unit: UnitKey;
    difference: UnitKey;
    decimals: number;
    fitted: boolean; // false: only compared
}
/// One channel of one pull, averaged over bins of crank speed, beside what the fitted rig computes.
export interface Overlay {
    channel: string; // key
    speed: number[]; // rad/s
    measured: (number | null)[];
    computed: (number | null)[]; // by the fitted rig, the fitted offset of the sensor included
    rms: number; // of computed less measured
    worst: number; // signed, the largest by size
    worst_speed: number;
    lag_correlation: number | null; // of neighbours' residuals: 0 for noise; null: too few
}
export interface MeasuredPull {
    name: string;
    title: string;
    variant: string;
    log: string; // path
    lines: string; // "lines 120 to 431"
    /// What it was run under, in the order of `conditions` of the page; null: not known.
    conditions: (number | null)[];
    remarks: InSystems<string[]>; // what was left out, and why
    overlays: Overlay[];
}
/// A value that was fitted, with its standard deviation.
export interface FittedValue {
    title: string; // "heat conductance of the core"
    of: string; // "" for the rig, else a variant's or pull's name
    unit: UnitKey;
    difference: UnitKey;
    decimals: number;
    value: number;
    deviation: number | null; // null: nothing tells
    expected: { value: number; deviation: number } | null; // what was known before
    at_bound: boolean;
}
/// One figure of two variants under the same conditions.
export interface MatchedFigure {
    key: string;
    label: string;
    unit: UnitKey;
    difference: UnitKey;
    decimals: number;
    from: number;
    to: number;
    low: number | null; // the change's interval, 95 %; null: open on that side
    high: number | null;
    verdict: "rises" | "falls" | "cannot tell";
    /// limit: a difference, SI, positive, on the side that is worse.
    no_worse: { limit: number; worse: "rises" | "falls"; shown: boolean } | null;
    words: InSystems<string>;
}
export interface Matched {
    schema: "pullcast.page";
    schema_version: 1;
    mode: "matched";
    program: { name: string; version: string };
    study: { title: string; question: string; note: string; file: string; hash: string };
    units: Record<UnitKey, InSystems<Display>>;
    system: System; // shown first
    speed_unit: UnitKey;
    headline: InSystems<string>; // "" where nothing is compared
    checklist: { item: string; state: "alike" | "differs" | "unknown"; words: InSystems<string> }[];
    conditions: { label: string; unit: UnitKey; decimals: number; reference: number | null }[];
    channels: MeasuredChannel[];
    pulls: MeasuredPull[];
    /// Two variants, once for each question.
    comparisons: {
        from: { name: string; title: string };
        to: { name: string; title: string };
        question: string; // "same pulley"
        words: InSystems<string[]>; // what was held alike and what it took, how many more pulls, which channel would help
        figures: MatchedFigure[];
    }[];
    parameters: FittedValue[];
    correlations: (number | null)[][]; // of `parameters`, in their order; null: nothing tells
    fit_words: InSystems<string[]>; // how well the rig follows the pulls; what cannot be told apart
    explanations: {
        from: { name: string; title: string };
        to: { name: string; title: string };
        pulls: number;
        causes: { title: string; changes: InSystems<string[]> }[];
        figures: ExplainedFigure[];
        words: InSystems<string[]>; // what the pulls measured beside it
    }[];
    how_to_read: InSystems<string[]>;
    cautions: string[];
}

// ---- live page ------------------------------------------------------------------------------------------------------

export interface Choice {
    value: string; // what the study sets: a part's or model's name, a choice's word
    label: string; // "Pulley 80 mm (90 EUR)"
}
/// Something to turn. What is sent is always a text, as it would stand in the study file: "31 degC", "pulley-80".
export interface Knob {
    name: string;
    title: string; // "ambient temperature"
    sets: string[]; // "ambient.temperature"
    doc: string;
    choices: Choice[] | null; // else a range:
    unit: UnitKey; // of from, to, step, start
    step_unit: UnitKey; // of step (a temperature's step is a difference)
    from: number; // SI
    to: number;
    step: number;
    /// Start value by variant name: SI, or a choice's value; null where the rig says nothing that fits.
    start: Record<string, number | string | null>;
    write: InSystems<string>; // the unit to send numbers in, as the study reader spells it: "degC", "degF"
}
export interface Live {
    token: string; // goes back in the header X-Pullcast-Token
    knobs: Knob[];
    start: string; // variant whose values the knobs start from (and whose other changes stay)
}

/// What has knobs: the page of a study or of a session.
export interface Turnable {
    units: Record<UnitKey, InSystems<Display>>;
    variants: readonly { name: string; title: string; base: boolean }[];
    live: Live | null;
}

/// POST run, beside the page. `knobs` holds those that differ from the start variant. A later sequence of the same client wins.
export interface RunRequest {
    client: string; // random, one a page
    sequence: number;
    start: string; // variant
    knobs: Record<string, string>;
}
export interface RunReply {
    sequence: number;
    variant: Variant; // named as in an exported study ("live"); its rig is an index into `rigs`
    headline: InSystems<string>; // against the base
    rigs: Rig[]; // of this variant alone
    simulated_ms: number; // spent in the engine
}
/// Status 400, 409 (superseded), 422 (bad value), 500. `text` is what the command line would print.
export interface ErrorReply {
    error: string; // one line
    text: string; // the rendered diagnostics, or ""
    knob: string; // name of the knob that it is about, or ""
}
// POST study  RunRequest -> TOML text      POST report  RunRequest -> the report as HTML
