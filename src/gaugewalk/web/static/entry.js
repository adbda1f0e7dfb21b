// The fields of a round or of a pump's page: what is typed is judged and kept on this phone at once,
// and sent when there is a network.

import { contextOf, judge, loadUnits, read } from "./judge.js";
import { keep, onChange, send } from "./outbox.js";
import { carried, mineAt, overlay } from "./overlay.js";
import { refresh } from "./refresh.js";
import { all } from "./store.js";
import { UnitError, show, span } from "./units.js";

const ROUND_PARTS = [".progress", "#checks", "#finish", ".pump-drawing"];
const ready = loadUnits().then(() => true, () => false); // without its table the server alone reads

function sheetOf(part) {
  return part.closest("[data-tag]")?.dataset ?? {};
}

function inRound(part) {
  const { round } = sheetOf(part);
  return round ? { round } : {};
}

function say(section, message) {
  section.querySelector("[data-message]").textContent = message;
  const input = section.querySelector("input.number");
  if (message) input.setAttribute("aria-invalid", "true");
  else input.removeAttribute("aria-invalid");
}

// ------------------------------------------------------------------ a reading

// Reads and judges what was typed; throws where it cannot be read.
async function judged(point, text, unit) {
  const pump = carried();
  if (!pump?.points[point] || !(await ready)) return null;
  const quantity = read(pump, point, text, unit);
  const mine = mineAt(await all(), pump.tag);
  const verdict = judge(pump, point, quantity, contextOf(pump, point, mine, Date.now()));
  const { value, low, high } = quantity;
  const own = pump.points[point].unit;
  const shown = low === null ? show(value, own, pump.barometric) : span(low, high, own, pump.barometric);
  return { value, low, high, shown, verdict };
}

async function write(form) {
  const section = form.closest("[data-point]");
  const input = form.elements.text;
  const text = input.value.trim();
  if (!text) return say(section, "Nothing was typed. Type a number, or say why it was not taken.");
  if (section.dataset.busy) return undefined;
  section.dataset.busy = "yes";
  try {
    await writeReading(section, text, form.elements.unit.value);
    if (input.value.trim() === text) input.value = "";
  } catch (error) {
    if (!(error instanceof UnitError)) throw error;
    say(section, error.message);
  } finally {
    delete section.dataset.busy;
  }
  return undefined;
}

// Keeps a reading of a point, shows the verdict beside its field, and sends it.
export async function writeReading(section, text, unit, more = {}) {
  const { point, corrects } = section.dataset;
  const { tag } = sheetOf(section);
  const found = await judged(point, text, unit);
  const about = { tag, point, judged: found, ...inRound(section) };
  if (corrects) await keep("correction", { corrects, text, unit }, about);
  else await keep("reading", { tag, point, text, unit, ...inRound(section), ...more }, about);
  say(section, "");
  send();
}

async function skip(form, button) {
  const section = form.closest("[data-point]");
  const { tag } = sheetOf(section);
  const reason = button?.name === "reason" ? button.value : form.querySelector("input[type=text]").value.trim();
  if (!reason) return say(section, "Say in a few words why it was not taken.");
  const { point } = section.dataset;
  await keep("skip", { tag, point, reason, ...inRound(section) }, { tag, point, ...inRound(section) });
  say(section, "");
  section.querySelector("input.number").value = "";
  section.querySelector("[data-skip]").open = false;
  return send();
}

// ------------------------------------------------------------------ what is no number

async function answer(form, button) {
  const section = form.closest("[data-finding]");
  const { tag } = sheetOf(section);
  const present = { yes: true, no: false, unknown: null }[button.value];
  const { finding } = section.dataset;
  for (const other of form.querySelectorAll("button")) other.setAttribute("aria-pressed", String(other === button));
  await keep("observation", { tag, finding, present }, { tag, finding });
  return send();
}

// A form that only tells something: a note, that a pump runs or stands, that a round is finished.
const TELLING = {
  note: (form, tag) => ({ tag, text: form.elements.text.value.trim() }),
  event: (form, tag, button) => ({ tag, event: button.value }),
  finish: (form) => ({ round: sheetOf(form).round, reason: form.elements.reason?.value.trim() ?? "" }),
  follow_up: (form) => ({ follow_up: form.dataset.followUp, result: form.elements.result.value.trim() }),
};
const EMPTY = { note: "text", finish: "reason", follow_up: "result" };

async function tell(form, button) {
  const kind = form.dataset.tell;
  const { tag } = sheetOf(form);
  const place = form.querySelector("[data-told]");
  const input = form.elements[EMPTY[kind]];
  if (input && !input.closest("[hidden]") && !input.value.trim()) {
    place.textContent = "Nothing was typed.";
    return;
  }
  await keep(kind, TELLING[kind](form, tag, button), { tag });
  if (input) input.value = "";
  place.textContent = "Kept on this phone.";
  await send();
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  const way = form.matches("[data-reading]") ? write
    : form.closest("[data-skip]") ? skip
    : form.matches("[data-answer]") && !document.getElementById("trouble") ? answer
    : form.matches("[data-tell]") ? tell
    : null;
  if (!way) return;
  event.preventDefault();
  way(form, event.submitter);
});

// Going on to the next field writes the one that was left; choosing the unit is not leaving it.
document.addEventListener("focusout", (event) => {
  const form = event.target.closest?.("[data-reading]");
  if (!form || !event.relatedTarget || form.closest("[data-point]").contains(event.relatedTarget)) return;
  if (form.elements.text.value.trim() && !form.closest("[data-point]").querySelector("[data-message]").textContent) write(form);
});

document.addEventListener("input", (event) => {
  if (event.target.matches?.("input.number")) say(event.target.closest("[data-point]"), "");
});

// ------------------------------------------------------------------ what became of it

const states = new Map(); // seq -> state, of records about this page

// Once records are sent, the server draws their fields anew, unless somebody is typing there again.
async function settle(records) {
  const here = new Set([...document.querySelectorAll("[data-tag]")].map((sheet) => sheet.dataset.tag));
  const mine = records.filter((record) => here.has(record.tag));
  const sent = mine.filter((record) => states.get(record.seq) === "waiting" && record.state === "sent");
  for (const record of mine) states.set(record.seq, record.state);
  await overlay(records);
  if (!sent.length) return;
  if (sent.some((record) => record.kind === "finish")) return location.assign("/");
  await redraw(sent);
}

async function redraw(sent) {
  const typing = (point) => document.querySelector(`[data-point="${point}"] input.number`)?.value;
  const points = [...new Set(sent.map((record) => record.point).filter(Boolean))];
  const fields = () => points.filter((point) => !typing(point)).map((point) => `[data-point="${point}"]`);
  const told = sent.some((record) => !record.point) ? ['[aria-labelledby="events"]', "#running", '[aria-labelledby="again"]'] : [];
  await refresh(() => [...ROUND_PARTS, ...told, ...fields()]);
}

onChange(settle);
