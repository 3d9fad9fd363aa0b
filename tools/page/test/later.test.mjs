import assert from "node:assert/strict";
import { test } from "node:test";
import { later } from "../src/later.ts";

// A frame that comes when the test says so.
let frame = null;
globalThis.requestAnimationFrame = (callback) => (frame = callback);
const passed = (ms) => new Promise((done) => setTimeout(done, ms));
const busy = (ms) => {
    for (const end = performance.now() + ms; performance.now() < end; );
};

test("Work waits for the frame, is done in turn, and once however often it was asked for", async () => {
    const done = [];
    const [first, second] = [() => done.push("first"), () => done.push("second")];
    later(first);
    later(second);
    later(first);
    await passed(20);
    assert.deepEqual(done, []);
    frame();
    await passed(20);
    assert.deepEqual(done, ["first", "second"]);
    later(first);
    frame();
    await passed(20);
    assert.deepEqual(done, ["first", "second", "first"]);
});

test("Long work lets other tasks come between its pieces, and what it asks for is done too", async () => {
    const done = [];
    later(() => {
        busy(30);
        done.push("long");
        later(() => done.push("asked for meanwhile"));
        setTimeout(() => done.push("other task"));
    });
    later(() => done.push("short"));
    frame();
    await passed(120);
    assert.deepEqual(done, ["long", "other task", "short", "asked for meanwhile"]);
});
