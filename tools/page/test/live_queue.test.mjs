import assert from "node:assert/strict";
import { test } from "node:test";
import { RunQueue } from "../src/live/queue.ts";

/// A queue whose answers the test gives by hand.
function bench() {
    const flights = [], handed = [];
    const send = (asked) => new Promise((answer, fail) => flights.push({ asked, answer, fail }));
    const queue = new RunQueue(send, (outcome, asked) => handed.push([outcome.kind, asked.request, asked.moment]));
    const settle = () => new Promise((resolve) => setImmediate(resolve));
    return { queue, flights, handed, settle };
}
const reply = { kind: "reply", reply: {} };
const refused = { kind: "refused", error: "no", text: "", knob: "" };

test("Only one request is on its way, and of those that wait the newest goes next", async () => {
    const { queue, flights, handed, settle } = bench();
    for (const request of ["a", "b", "c", "d"]) queue.ask(request, request.charCodeAt(0));
    assert.deepEqual(flights.map((f) => f.asked.request), ["a"]);
    flights[0].answer(reply);
    await settle();
    assert.deepEqual(flights.map((f) => f.asked.request), ["a", "d"]);
    flights[1].answer(reply);
    await settle();
    assert.deepEqual(handed, [["reply", "a", 97], ["reply", "d", 100]]);
    assert.equal(flights.length, 2);
});

test("Sequence numbers rise with every request, also with those that are never sent", async () => {
    const { queue, flights, settle } = bench();
    assert.deepEqual(["a", "b", "c"].map((request) => queue.ask(request, 0)), [1, 2, 3]);
    flights[0].answer(reply);
    await settle();
    assert.deepEqual(flights.map((f) => f.asked.sequence), [1, 3]);
});

test("A refusal is not shown when the reader has already asked for something else", async () => {
    const { queue, flights, handed, settle } = bench();
    queue.ask("3", 0);
    queue.ask("31 degC", 0);
    flights[0].answer(refused);
    await settle();
    assert.deepEqual(handed, []);
    flights[1].answer(refused);
    await settle();
    assert.deepEqual(handed.map(([kind, request]) => [kind, request]), [["refused", "31 degC"]]);
});

test("A superseded run is passed over in silence", async () => {
    const { queue, flights, handed, settle } = bench();
    queue.ask("a", 0);
    flights[0].answer({ kind: "superseded" });
    await settle();
    assert.deepEqual(handed, []);
});

test("A request that fails on the way is told, and the next one is sent again", async () => {
    const { queue, flights, handed, settle } = bench();
    queue.ask("a", 0);
    flights[0].fail(new TypeError("network"));
    await settle();
    queue.ask("b", 0);
    flights[1].answer(reply);
    await settle();
    assert.deepEqual(handed.map(([kind]) => kind), ["unreachable", "reply"]);
});

test("The next request leaves before the answer to the last is handed on", async () => {
    const order = [];
    const send = async ({ request }) => (order.push(`send ${request}`), reply);
    const queue = new RunQueue(send, (_, { request }) => order.push(`draw ${request}`));
    queue.ask("a", 0);
    queue.ask("b", 0);
    await new Promise((resolve) => setImmediate(resolve));
    assert.deepEqual(order, ["send a", "send b", "draw a", "draw b"]);
});
