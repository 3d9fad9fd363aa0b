/// The documents of pages about days, lessons and choices of parts: the second half of the contract in data.ts.

import type { Chart, Curve, Display, Figure, InSystems, Live, System, UnitKey, Variant } from "./data";

// ---- a session ------------------------------------------------------------------------------------------------------

/// A step of the day as it was run.
export interface DayStep {
    name: string;
    title: string;
    kind: "pull" | "held" | "idle";
    from: number; // s of the day; a pull settles from here to `begin`, when the throttle opens
    begin: number;
    end: number;
    early: boolean; // ended by what it waits for
    ended: InSystems<string>; // "reservoir.coolant.T fell to 28.0 degC"
    rows: [first: number, last: number]; // of the variant's `time` and curves, both included; settling has none
}
/// Energy of a pull, J, by key of `Day.heat`.
export type DayHeat = Record<string, number>;
/// How the start of the first pull comes back after a pull.
export interface DayRecovery {
    after: number | null; // s from the pull's end; null: not within `watched`
    watched: number; // s that were run after it, up to the next pull; 0: none
    intake_left: number | null; // K above the first pull's start, at the end of that
    coolant_left: number | null;
    words: InSystems<string>; // "" where nothing was run after it
}
export interface DayPull {
    step: number; // index into `steps`
    figures: Record<string, number | null>;
    heat: DayHeat | null; // null: the rig does not meter it
    heat_words: InSystems<string>; // "" without heat
    residual: number | null; // of the energy ledger, over what passed through
    recovery: DayRecovery;
}
export interface DayVariant {
    name: string;
    title: string;
    base: boolean;
    failure: string | null; // then what was run before it is here all the same
    new_parts: string;
    headline: InSystems<string>; // which pull was hottest, how long to wait; "" without pulls
    words: InSystems<string[]>; // its first pull against that of the base, and what of a colder start arrives
    warnings: InSystems<string[]>; // which name their pulls
    steps: DayStep[];
    time: number[]; // s of the day, thinned: a line between two rows is nowhere off by what a curve's decimals show
    speed: number[]; // rad/s of the crank
    curves: Record<string, (number | null)[] | null>;
    pulls: DayPull[];
    start: { intake: number | null; coolant: number | null }; // K, when the first pull's throttle opens
    steady: Record<string, number | null> | null; // figures of the first pull, were it held for ever
    steady_words: InSystems<string>; // "" without
    ledger: Variant["ledger"]; // of the whole day; null without steps
    parts: Variant["parts"];
    changes: Variant["changes"];
}
/// The document of a session: a page of its own, and what the live page of a lesson shows of a run.
export interface Day {
    schema: "pullcast.page";
    schema_version: 1;
    mode: "day";
    program: { name: string; version: string };
    study: { title: string; question: string; note: string; file: string; hash: string };
    units: Record<UnitKey, InSystems<Display>>;
    system: System; // shown first
    speed_unit: UnitKey;
    headline: InSystems<string>; // the answer in one sentence; "" without pulls
    figures: Figure[];
    told: string[]; // keys of the figures that are compared first
    curves: Curve[];
    charts: Chart[]; // every curve stands in one of them
    first: { day: string[]; pulls: string[] }; // keys of the curves that are drawn before the reader chooses
    heat: { key: string; label: string; side: "in" | "stored" | "left"; doc: string }[];
    comparable: { intake: number; coolant: number; intake_curve: string; coolant_curve: string; words: InSystems<string> };
    variants: DayVariant[]; // in the order of the study
    common_warnings: InSystems<string[]>;
    correction_caution: string;
    load_notes: string[];
    assumptions: string[];
    cautions: string[];
}

// ---- a session's live page: predict first ---------------------------------------------------------------------------

/// How a step of the day is planned.
export interface LessonStep {
    title: string;
    kind: "pull" | "held" | "idle";
    lasts: number | null; // s, at most; null: a pull ends at its stop speed
    until: InSystems<string>; // "until reservoir.coolant.T is below 28 degC"; "" if it waits for nothing
    settings: { path: string; value: string }[]; // as in the file
}
export interface LessonQuestion {
    name: string;
    text: string;
    label: string; // of the figure: "intake at start (sensor)"
    unit: UnitKey; // of the answer
    difference: UnitKey; // of how far a prediction is off
    decimals: number;
    is_difference: boolean; // then the answer has a sign, and these words say which way:
    less: string; // "cooler"
    more: string; // "hotter"
    alike_within: number | null; // SI; a smaller answer is "about the same"
}
export interface LessonVariant {
    name: string;
    title: string;
    base: boolean;
    new_parts: string;
    parts: Variant["parts"];
    changes: Variant["changes"];
    given: (number | null)[]; // in the order of `given.labels`
}
/// The page of a session before anything was run: no result is in it.
export interface Lesson {
    schema: "pullcast.page";
    schema_version: 1;
    mode: "lesson";
    program: { name: string; version: string };
    study: { title: string; question: string; note: string; file: string; hash: string };
    units: Record<UnitKey, InSystems<Display>>;
    system: System; // shown first
    length: { unit: UnitKey; decimals: number }; // of a step
    given: { labels: string[]; unit: UnitKey; decimals: number }; // when the day begins
    variants: LessonVariant[]; // in the order of the study
    steps: LessonStep[];
    turns: { times: number; steps: number[]; until: InSystems<string> }[];
    questions: LessonQuestion[];
    links: { title: string; address: string }[]; // other pages of the server, which want the token too
    load_notes: string[];
    cautions: string[];
    live: Live;
}
export interface DayReply {
    sequence: number;
    simulated_ms: number;
    answers: { value: number | null; words: InSystems<string> }[]; // in the order of the questions
    day: Day;
}

/// The lessons of a folder: the page that lists them.
export interface Contents {
    schema: "pullcast.page";
    schema_version: 1;
    mode: "contents";
    program: { name: string; version: string };
    title: string;
    token: string;
    lessons: { title: string; question: string; address: string }[];
    cautions: string[];
}

/// What each lesson asks and what its run answers: for the instructor.
export interface Answers {
    schema: "pullcast.page";
    schema_version: 1;
    mode: "answers";
    program: { name: string; version: string };
    title: string;
    units: Record<UnitKey, InSystems<Display>>;
    system: System; // shown first
    lessons: {
        title: string;
        question: string;
        note: string;
        file: string;
        hash: string;
        questions: { text: string; answer: InSystems<string> }[];
        variants: { title: string; failure: string | null; words: InSystems<string[]> }[];
    }[];
    cautions: string[];
}

// ---- a choice of parts ----------------------------------------------------------------------------------------------

/// Something that is bought: a part, or a number of a range.
export interface BoughtAxis {
    title: string;
    choices: string[] | null; // without prices; null: a range
    unit: UnitKey; // of a range
    decimals: number;
    own: number | null; // what the car as it stands has: index of a choice, or SI; null: none of these
}
export interface ChosenWish {
    name: string;
    title: string;
    price: boolean; // its number is the price
    unit: UnitKey; // "money" for prices
    difference: UnitKey;
    decimals: number;
    at_least: number | null; // SI
    at_most: number | null;
    confidence: number | null; // share of what is met; null: all of it
    prefer: "more" | "less" | null;
    told: "mean" | "sure"; // which of its numbers is compared and shown first
    words: InSystems<string>; // "at least 2.0 deg, in 90 % of what is met"
    refused: number; // combinations that break it
    refused_alone: number; // and nothing else
}
/// From one combination to a dearer one. Gain is of the leading wish, positive where it is better.
export interface ChosenStep {
    from: number; // indices of combinations
    to: number;
    price: number;
    gain: number;
    lowest: number; // in the condition where it is least
    highest: number;
    better: number; // share of what is met where it gains at all
    words: InSystems<string>;
}
export interface VarianceShare {
    value: number;
    low: number;
    high: number;
}
/// Results of a sweep. Combination 0 is the car as it stands.
export interface Chosen {
    schema: "pullcast.page";
    schema_version: 1;
    mode: "choice";
    program: { name: string; version: string };
    study: { title: string; question: string; note: string; file: string; hash: string };
    units: Record<UnitKey, InSystems<Display>>;
    system: System; // shown first
    hash: string; // of all that the runs depend on
    seed: number;
    runs: number;
    conditions: number;
    sampled: boolean; // not every combination was tried
    headline: InSystems<string>; // what to buy first, and what the next money buys
    done: string; // how many combinations, under which conditions
    findings: InSystems<string[]>;
    bought: BoughtAxis[];
    met: { title: string; words: InSystems<string> }[];
    wishes: ChosenWish[];
    lead: number; // the wish by which things are ordered
    /// Each list has one entry a combination, those of wishes in the order of `wishes`; null where it failed.
    combinations: {
        bought: (number | null)[][]; // by axis
        price: (number | null)[];
        eligible: (0 | 1)[];
        wishes: { mean: (number | null)[]; sure: (number | null)[]; share: (number | null)[]; holds: (0 | 1)[] }[];
    };
    failed: { combination: number; conditions: number; failure: string }[];
    front: number[]; // eligible, and beaten by no other in all that is preferred; the best first
    shortlist: number[];
    money: ChosenStep[]; // each combination that brings more than anything cheaper
    furthest: ChosenStep[]; // of that way the steps with most gain for the money
    sensitivity: {
        left_out: string; // why nothing was computed; "" where it was
        combination: number;
        runs: number;
        columns: { name: string; label: string; shares: { first: VarianceShare; total: VarianceShare }[] }[]; // by `met`
        words: InSystems<string[]>;
        how_to_read: string[];
    };
    how_to_read: string[];
    load_notes: string[];
    cautions: string[];
}
