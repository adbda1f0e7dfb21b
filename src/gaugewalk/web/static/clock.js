// Is this phone's clock right? Measured against the server's at every contact; a wrong one is said,
// and the times of what was written are put right by it.

import { fact, keepFact } from "./store.js";

export const TOLERATED = 60000; // ms, of which nothing is made
const FRESH = 10 * 60000; // ms for which a measurement is good enough

// Notes what the clock here said when the one there said `now`; both moments around the question.
export async function compare(now, asked, answered) {
  const there = Date.parse(now);
  if (Number.isNaN(there)) return;
  await keepFact("clock", { ahead: (asked + answered) / 2 - there, there, here: answered });
}

export async function measured() {
  return (await fact("clock")) ?? null;
}

export async function compareNow(again = false) {
  const before = await measured();
  const since = before ? Date.now() - before.here : NaN;
  if (!again && since >= 0 && since < FRESH) return;
  const asked = Date.now();
  const answer = await fetch("/api/v1/clock");
  if (answer.ok) await compare((await answer.json()).now, asked, Date.now());
}

// The time at which a record was seen, put right. Where the clock was set between writing and
// sending, the measurement that gives a possible time is taken: not before the last contact, not
// after now.
export function seenAt(record, clock) {
  const possible = [record.ahead, clock?.ahead].filter((ahead) => ahead !== null && ahead !== undefined);
  const now = clock ? Date.now() - clock.ahead : Date.now();
  const fits = (ahead) => record.said - ahead <= now + TOLERATED && record.said - ahead >= (record.contact ?? -Infinity) - TOLERATED;
  const ahead = possible.find(fits);
  if (ahead === undefined) return { seen: possible.length ? record.contact ?? now : record.said, ahead: possible[0] ?? 0 };
  return { seen: Math.min(Math.abs(ahead) > TOLERATED ? record.said - ahead : record.said, now), ahead };
}

export function words(ahead) {
  const minutes = Math.round(Math.abs(ahead) / 60000);
  const span = minutes < 60 ? `${minutes} min` : minutes < 2880 ? `${Math.floor(minutes / 60)} h ${minutes % 60} min` : `${Math.round(minutes / 1440)} d`;
  return `This phone's clock is ${span} ${ahead > 0 ? "ahead" : "behind"}; the times of what you write are put right by that.`;
}
