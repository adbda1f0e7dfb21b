// The store on this phone: what was written, in order, until long after it is sent. It survives a
// reload and an empty battery: a record is shown as written only when it is on the disk.

import { openDB } from "./vendor/idb.js";
import { newId } from "./ids.js";

const KEPT = 3 * 86400000; // ms for which sent records stay, so that a kept page can show them
const STRICT = { durability: "strict" };

const opened = openDB("gaugewalk", 1, {
  upgrade(db) {
    const records = db.createObjectStore("records", { keyPath: "seq", autoIncrement: true });
    records.createIndex("state", "state");
    db.createObjectStore("facts");
  },
});
opened.catch(() => {}); // told where something was to be kept

export async function fact(name) {
  return (await opened).get("facts", name);
}

export async function keepFact(name, value) {
  await (await opened).put("facts", value, name);
}

// Puts a record into the store. `said` is what the clock here says; `ahead` and `contact` are what
// was known of this clock then.
export async function add(kind, fields, more) {
  const db = await opened;
  const clock = await db.get("facts", "clock");
  const said = Date.now();
  const record = {
    id: newId(said), kind, fields, said, state: "waiting",
    ahead: clock ? clock.ahead : null, contact: clock ? clock.there : null, ...more,
  };
  const writing = db.transaction("records", "readwrite", STRICT);
  record.seq = await writing.store.add(record);
  await writing.done;
  navigator.storage?.persist?.(); // asks the phone not to clear this when it runs short of room
  return record;
}

export async function put(records) {
  const writing = (await opened).transaction("records", "readwrite", STRICT);
  for (const record of records) await writing.store.put(record);
  await writing.done;
}

export async function waiting(most) {
  return (await opened).getAllFromIndex("records", "state", "waiting", most);
}

export async function all() {
  return (await opened).getAll("records");
}

export async function remove(seq) {
  await (await opened).delete("records", seq);
}

export async function dropOld() {
  const writing = (await opened).transaction("records", "readwrite");
  for await (const cursor of writing.store) {
    if (cursor.value.state === "sent" && cursor.value.said < Date.now() - KEPT) await cursor.delete();
  }
  await writing.done;
}
