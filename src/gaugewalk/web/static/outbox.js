// What was written on this phone goes to the server in order, each record exactly once: its id is
// made here, its content is fixed before it is sent, and the server knows an id that it has.

import * as clock from "./clock.js";
import { add, all, fact, keepFact, put, waiting } from "./store.js";

const AT_ONCE = 50;
const LATER = 20000; // ms until it is tried again by itself
const told = new BroadcastChannel("gaugewalk");
const listeners = new Set();
let trouble = ""; // why nothing is sent, in words; empty while all is well

told.onmessage = () => announce(false);

export function onChange(listener) {
  listeners.add(listener);
}

export function standing() {
  return trouble;
}

async function announce(others = true) {
  if (others) told.postMessage("changed");
  const records = await all();
  for (const listener of listeners) listener(records, trouble);
}

// Keeps a record on this phone and tries to send it. Returns as soon as it is kept.
export async function keep(kind, fields, more = {}) {
  const who = document.documentElement.dataset.who;
  const record = await add(kind, who ? { ...fields, who } : fields, more);
  await announce();
  return record;
}

let sending = null;
let asked = false; // again, while it was being sent

// Sends what waits; one tab at a time, one run at a time. Asked again meanwhile, it tries once more,
// because the network may have come back during the try.
export function send() {
  asked = true;
  sending ??= run().catch(cannotKeep).finally(() => {
    sending = null;
  });
  return sending;
}

function cannotKeep(error) {
  trouble = `This phone keeps nothing (${error.message}).`;
}

async function run() {
  while (asked) {
    asked = false;
    await (navigator.locks ? navigator.locks.request("gaugewalk-send", sendAll) : sendAll());
  }
}

async function sendAll() {
  let batch = AT_ONCE;
  for (;;) {
    const records = together(await waiting(batch));
    if (!records.length) return say("");
    try {
      await clock.compareNow();
      const sealed = await seal(records);
      const answer = await post(sealed);
      if (answer.smaller) {
        batch = Math.max(1, Math.floor(records.length / 2));
        continue;
      }
      await take(sealed, answer);
      if (answer.results.some((result) => result.again)) return say("The server cannot write just now.");
    } catch (error) {
      return say(error instanceof Refused ? error.message : "No network.");
    }
  }
}

class Refused extends Error {}

async function say(why) {
  trouble = why;
  await announce();
}

// Fixes what will be sent, so that the second time it is the very same record.
async function seal(records) {
  const now = await clock.measured();
  const fresh = records.filter((record) => !record.sealed);
  for (const record of fresh) {
    const { seen, ahead } = clock.seenAt(record, now);
    record.sealed = { kind: record.kind, id: record.id, ...record.fields, seen_at: record.fields.seen_at ?? new Date(seen).toISOString() };
    await noteClock(ahead);
  }
  if (fresh.length) await put(fresh);
  return records;
}

// A wrong clock is written down, once for each time it is found wrong.
async function noteClock(ahead) {
  const before = (await fact("clock-noted")) ?? 0;
  if (Math.abs(ahead - before) <= clock.TOLERATED) return;
  await keepFact("clock-noted", ahead);
  if (Math.abs(ahead) > clock.TOLERATED) await keep("clock", { ahead: Math.round(ahead / 1000) });
}

// A photo goes by itself, the records before and after it in their turn.
function together(records) {
  if (records[0]?.kind === "photo") return records.slice(0, 1);
  const photo = records.findIndex((record) => record.kind === "photo");
  return photo < 0 ? records : records.slice(0, photo);
}

async function postPhoto(record) {
  const { kind, ...fields } = record.sealed;
  const answer = await fetch(`/api/v1/photos?${new URLSearchParams(fields)}`, {
    method: "POST",
    headers: { "content-type": "image/jpeg" },
    body: record.picture,
  });
  if (answer.status === 401) throw new Refused("Sign in again; then it is sent.");
  const body = answer.headers.get("content-type")?.startsWith("application/json") ? await answer.json() : null;
  if (body && answer.ok && body.id === record.id) return { now: null, results: [{ id: record.id, taken: body }] };
  if (body && [404, 409, 413, 422].includes(answer.status)) return { now: null, results: [{ id: record.id, problem: body }] };
  throw new Error("no answer of ours");
}

async function post(records) {
  if (records[0].kind === "photo") return postPhoto(records[0]);
  const asked = Date.now();
  const answer = await fetch("/api/v1/records", {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify({ records: records.map((record) => record.sealed) }),
  });
  if (answer.status === 413 && records.length > 1) return { smaller: true };
  if (answer.status === 401) throw new Refused("Sign in again; then it is sent.");
  if (answer.status === 403 || answer.status === 421) throw new Refused("The server does not take it from here.");
  const body = answer.headers.get("content-type")?.startsWith("application/json") ? await answer.json() : null;
  if (answer.ok && body?.results?.length === records.length) {
    await clock.compare(body.now, asked, Date.now());
    return body;
  }
  if (answer.status === 422 && body && records.length > 1) return { smaller: true };
  if (answer.status === 422 && body) return { now: null, results: [{ id: records[0].id, problem: body }] };
  throw new Error("no answer of ours"); // some other page on the way, such as one that asks to log in
}

async function take(records, answer) {
  records.forEach((record, at) => {
    const result = answer.results[at];
    if (result.again || (result.id && result.id !== record.id)) return;
    record.state = result.problem ? "refused" : "sent";
    record.answer = result.problem ?? result.taken;
    record.there = answer.now ?? new Date(Date.now()).toISOString();
    if (record.state === "sent") delete record.picture;
  });
  await put(records);
  await announce();
}

export function begin() {
  send();
  addEventListener("online", send);
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && send());
  navigator.serviceWorker?.addEventListener("message", (event) => event.data === "send" && send());
  setInterval(() => trouble && send(), LATER);
}
