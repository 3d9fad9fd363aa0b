/// Combinations as the page tells them: names, what differs, and what can be measured of them.

import type { Chosen, ChosenWish, UnitKey } from "./data";
import { numberText, type Formats } from "./units";
import { variantStyles, type VariantStyle } from "./variants";

/// A number that each combination has: an axis of the pictures.
export interface Measure {
    title: string;
    unit: UnitKey;
    difference: UnitKey;
    decimals: number;
    wish: ChosenWish | null; // null: the price, and no wish is about it
    about: string; // "mean of what is met"; "" of a price
    less: boolean; // the less the better
    values: readonly (number | null)[]; // by combination
}

/// A mark of the picture that has a name: the car as it stands, a choice of the shortlist.
export interface Named {
    combination: number;
    label: string; // "3", "as it stands"
    style: VariantStyle;
}

/// What is asked of a sweep's document.
export class Choices {
    readonly count: number;
    readonly measures: readonly Measure[];
    readonly named: readonly Named[]; // the car as it stands first

    constructor(readonly page: Chosen, readonly formats: Formats) {
        this.count = page.combinations.price.length;
        const styles = variantStyles([0, ...page.shortlist].map((_, k) => ({ base: k === 0 })));
        const listed = page.shortlist.filter((k) => k !== 0);
        this.named = [0, ...listed].map((combination, k) => ({
            combination, label: k === 0 ? "as it stands" : String(page.shortlist.indexOf(combination) + 1),
                style: styles[k],
        }));
        this.measures = measuresOf(page);
    }

    get lead(): Measure {
        const wish = this.page.wishes[this.page.lead];
        return this.measures.find((measure) => measure.wish === wish)!;
    }
    get price(): Measure | null {
        return this.measures.find(({ unit }) => unit === "money") ?? null;
    }

    name(combination: number): Named | null {
        return this.named.find((one) => one.combination === combination) ?? null;
    }

    /// What stands on an axis: a part's name, a number with its unit.
    part(axis: number, combination: number): string {
        const { choices, unit, decimals } = this.page.bought[axis];
        const value = this.page.combinations.bought[axis][combination];
        if (value === null) return "its own";
        return choices ? choices[value] : this.formats.full(unit, value, decimals);
    }

    /// Titles and texts of what one combination has and another has not.
    changes(combination: number, from = 0): { title: string; part: string }[] {
        return this.page.bought.flatMap(({ title }, axis) => {
            const values = this.page.combinations.bought[axis];
            return values[combination] === values[from] ? [] : { title, part: this.part(axis, combination) };
        });
    }

    /// "80 mm pulley + deep core"
    told(combination: number, from = 0): string {
        const parts = this.changes(combination, from).map(({ part }) => part);
        return parts.length > 0 ? parts.join(" + ") : "as it stands";
    }

    /// Titles of the wishes that a combination breaks.
    broken(combination: number): string[] {
        const { wishes } = this.page.combinations;
        return this.page.wishes.filter((_, w) => wishes[w].holds[combination] === 0).map(({ title }) => title);
    }

    failure(combination: number): string | null {
        return this.page.failed.find((one) => one.combination === combination)?.failure ?? null;
    }

    heading({ title, unit }: Measure): string {
        return withUnit(title, this.formats.unit(unit));
    }

    full({ unit, decimals }: Measure, combination: number, values: Measure["values"]): string {
        return this.formats.full(unit, values[combination], decimals);
    }

    /// "+4.2 kW"; null where it is the same combination or one of both is not known.
    difference({ difference, decimals, values }: Measure, combination: number, from = 0): string | null {
        const [value, reference] = [values[combination], values[from]];
        if (combination === from || value === null || reference === null) return null;
        const unit = this.formats.unit(difference);
        return this.formats.signed(difference, value - reference, decimals) + (unit === "" ? "" : `\u00a0${unit}`);
    }
}

function measuresOf(page: Chosen): Measure[] {
    const { price, wishes } = page.combinations;
    const own = page.wishes.map((wish, w): Measure => ({
        ...wish, wish, about: wish.price ? "" : aboutOf(wish),
        less: wish.prefer === "less" || (wish.prefer === null && wish.at_most !== null),
        values: wish.price ? price : wishes[w][wish.told],
    }));
    const priced = price.some((one) => one !== null && one !== 0);
    const first = own.find(({ wish }) => wish!.price) ??
        { title: "price", unit: "money", difference: "money", decimals: decimalsOf(price), wish: null, about: "",
            less: true, values: price };
    return [...(priced ? [first] : []), ...own.filter(({ wish }) => !wish!.price)];
}

const decimalsOf = (prices: readonly (number | null)[]): number => (prices.every((one) => Number.isInteger(one ?? 0))
    ? 0 : 2);

/// Which of a wish's numbers is told first.
function aboutOf({ told, confidence }: ChosenWish): string {
    if (told === "mean") return "mean of what is met";
    return confidence === null ? "the worst of what is met" : `in ${shareText(confidence)} of what is met`;
}

/// "price, EUR"
export const withUnit = (text: string, unit: string): string => (unit === "" ? text : `${text}, ${unit}`);
/// "88 %"
export const shareText = (share: number): string => `${numberText(100 * share, 0)}\u00a0%`;
