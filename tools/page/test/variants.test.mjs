import assert from "node:assert/strict";
import { test } from "node:test";
import { spread } from "../src/plot_options.ts";
import { grounds, inks, variantStyles } from "../src/variants.ts";

// Relative luminance and contrast ratio: WCAG 2.2, section "Terms".
function luminance(colour) {
    const channels = [1, 3, 5].map((k) => parseInt(colour.slice(k, k + 2), 16) / 255);
    const [r, g, b] = channels.map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}
function contrast(a, b) {
    const [low, high] = [luminance(a), luminance(b)].sort((x, y) => x - y);
    return (high + 0.05) / (low + 0.05);
}

test("The contrast of black on white is 21", () => assert.ok(Math.abs(contrast("#000000", "#ffffff") - 21) < 1e-9));

test("Every ink is readable as text on its ground: 4.5:1 (WCAG 2.2, 1.4.3)", () => {
    for (const side of [0, 1])
        for (const ink of inks) assert.ok(contrast(ink[side], grounds[side]) >= 4.5, ink[side]);
});

test("The base alone is solid, and no two variants look the same", () => {
    const variants = Array.from({ length: 20 }, (_, i) => ({ base: i === 3 }));
    const styles = variantStyles(variants);
    assert.deepEqual(styles.filter((s) => s.dash.length === 0).map((s) => s.index), [3]);
    assert.equal(styles[3].ink, inks[0]);
    assert.equal(new Set(styles.map((s) => `${s.css} ${s.dash}`)).size, 20);
    assert.deepEqual(styles.slice(0, 4).map((s) => s.mark), ["A", "B", "C", "D"]);
});

test("Letters at the end of lines keep their distance, their order and the plot's bounds", () => {
    const marks = [{ i: 0, x: 0, y: 3 }, { i: 1, x: 0, y: 2 }, { i: 2, x: 0, y: 4 }, { i: 3, x: 500, y: 3 }];
    const out = spread(marks, 12, [0, 100]);
    const near = out.filter((m) => m.x === 0).sort((a, b) => a.y - b.y);
    assert.deepEqual(near.map((m) => m.i), [1, 0, 2]);
    for (let k = 1; k < near.length; k++) assert.ok(near[k].y - near[k - 1].y >= 12 - 1e-9);
    assert.ok(near[0].y >= -1e-9);
    assert.equal(out.find((m) => m.i === 3).y, 3);
});
