// The line under the plate: is there a network, what waits to be sent, is the clock right. And what
// goes with it: the service worker, taking a round along.

import * as clock from "./clock.js";
import { begin, onChange, standing } from "./outbox.js";
import { all, dropOld, fact, keepFact } from "./store.js";

const page = document.documentElement;
const line = document.getElementById("line");
const ROUND_AGAIN = 15 * 60000; // ms after which a round that is open is taken along anew
const BOOK_AGAIN = 86400000;
let taken = "";

export function timeOf(moment) {
  const zone = page.dataset.zone || undefined;
  return new Date(moment).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit", timeZone: zone });
}

function said(text, href) {
  const part = document.createElement("p");
  if (href) {
    const link = document.createElement("a");
    link.href = href;
    link.className = "button";
    link.textContent = text;
    part.append(link);
  } else part.textContent = text;
  return part;
}

async function render(records, trouble) {
  const waits = records.filter((record) => record.state === "waiting" && record.kind !== "clock").length;
  const refused = records.filter((record) => record.state === "refused").length;
  const measured = await clock.measured();
  const parts = [];
  if ("kept" in page.dataset) parts.push(said(`No network. This page is as it was at ${timeOf(page.dataset.now)}; you can go on writing.`));
  else if (trouble && waits) parts.push(said(`${trouble} What you write is kept on this phone.`));
  if (waits) parts.push(said(`${waits} not sent yet`, "/waiting"));
  if (refused) parts.push(said(`${refused} could not be taken`, "/waiting"));
  if (measured && Math.abs(measured.ahead) > clock.TOLERATED) parts.push(said(clock.words(measured.ahead)));
  if (taken) parts.push(said(taken));
  const text = parts.map((part) => part.textContent).join("|");
  if (line.dataset.text === text) return;
  line.dataset.text = text;
  line.replaceChildren(...parts);
  line.hidden = !parts.length;
}

// The answer that this page came with tells the time there, unless it is a kept one.
async function compareByPage() {
  if ("kept" in page.dataset) return undefined;
  const [visit] = performance.getEntriesByType("navigation");
  if (!visit?.responseStart) return clock.compareNow(true).catch(() => {}); // no network is told elsewhere
  const begun = Date.now() - performance.now();
  return clock.compare(page.dataset.now, begun + visit.requestStart, begun + visit.responseStart);
}

async function takeAlong() {
  if (!("serviceWorker" in navigator)) return;
  try {
    await navigator.serviceWorker.register("/worker.js");
  } catch {
    return; // not allowed here: the pages work like any pages
  }
  const { active } = await navigator.serviceWorker.ready;
  const round = document.querySelector("[data-round]")?.dataset.round;
  if ("kept" in page.dataset) {
    if (round) await tell("This round is on this phone.");
    return;
  }
  if (round && (await ask(active, round, ROUND_AGAIN))) await tell("This round is on this phone; it goes on without a network.");
  await ask(active, "book", BOOK_AGAIN);
}

async function tell(words) {
  taken = words;
  await render(await all(), standing());
}

async function ask(worker, id, again) {
  const name = `taken/${page.dataset.version}/${id}`;
  const before = await fact(name);
  if (before && Date.now() - before < again && Date.now() >= before) return true;
  const answer = await new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = (event) => resolve(event.data);
    worker.postMessage({ take: id }, [port2]);
  });
  if (answer.ok) await keepFact(name, Date.now());
  return answer.ok;
}

export function beginLine() {
  begun().catch((error) => console.warn(`without the store of this phone: ${error.message}`));
}

async function begun() {
  onChange(render);
  document.addEventListener("redrawn", async () => render(await all(), standing()));
  await compareByPage();
  begin();
  await dropOld();
  await takeAlong();
}
