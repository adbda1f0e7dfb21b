// The fields of a round or of a pump's page: what is typed is judged and kept on this phone at once,
// and sent when there is a network.

import { keep, onChange, send } from "./outbox.js";
import { fresh, overlay } from "./overlay.js";
import { shrunk } from "./photo.js";
import { inRound, sheetOf, writeReading } from "./readings.js";
import { refresh } from "./refresh.js";
import { stepped } from "./step.js";
import { UnitError } from "./units.js";

const ROUND_PARTS = [".progress", "#checks", "#finish", ".pump-drawing"];
function say(section, message) {
  section.querySelector("[data-message]").textContent = message;
  const input = section.querySelector("input.number");
  if (message) input.setAttribute("aria-invalid", "true");
  else input.removeAttribute("aria-invalid");
}

// ------------------------------------------------------------------ a reading

async function write(form) {
  const section = form.closest("[data-point]");
  const input = form.elements.text;
  const text = input.value.trim();
  if (!text) return say(section, "Nothing was typed. Type a number, or say why it was not taken.");
  if (section.dataset.busy) return undefined;
  section.dataset.busy = "yes";
  try {
    await writeReading(section, text, form.elements.unit.value, section.dataset.corrects);
    say(section, "");
    if (input.value.trim() === text) input.value = "";
  } catch (error) {
    if (!(error instanceof UnitError)) throw error;
    say(section, error.message);
  } finally {
    delete section.dataset.busy;
  }
  return undefined;
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

// An answer in plain words tells of several findings at once.
async function look(form, button) {
  const { tag } = sheetOf(form);
  for (const other of form.querySelectorAll("button")) other.setAttribute("aria-pressed", String(other === button));
  const about = { tag, look: form.dataset.look, words: button.value };
  for (const [finding, present] of Object.entries(JSON.parse(button.dataset.findings))) {
    await keep("observation", { tag, finding, present }, { ...about, finding });
  }
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

async function photo(form) {
  const { tag } = sheetOf(form);
  const place = form.querySelector("[data-told]");
  const { photo: chosen, text } = form.elements;
  if (!chosen.files.length) {
    place.textContent = "Choose a picture first.";
    return;
  }
  let picture;
  try {
    picture = await shrunk(chosen.files[0]);
  } catch {
    place.textContent = "This is no photo that can be read.";
    return;
  }
  await keep("photo", { tag, text: text.value.trim() }, { tag, picture });
  form.reset();
  place.textContent = "Kept on this phone.";
  await send();
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  const way = form.matches("[data-reading]") ? write
    : form.closest("[data-skip]") ? skip
    : form.matches("[data-answer]") && !document.getElementById("trouble") ? answer
    : form.matches("[data-look]") ? look
    : form.matches("[data-photo]") ? photo
    : form.matches("[data-tell]") ? tell
    : null;
  if (!way || "plain" in form.dataset) return;
  event.preventDefault();
  way(form, event.submitter).catch((error) => plainly(form, event.submitter, error));
});

// Where this phone cannot keep anything (no room, a private window), the form goes out the plain way.
function plainly(form, button, error) {
  console.warn(`not kept on this phone: ${error.message}`);
  form.dataset.plain = "";
  form.requestSubmit(button);
}

// Going on to the next field writes the one that was left; choosing the unit is not leaving it.
document.addEventListener("focusout", (event) => {
  const form = event.target.closest?.("[data-reading]");
  if (!form || !event.relatedTarget || form.closest("[data-point]").contains(event.relatedTarget)) return;
  if (form.elements.text.value.trim() && !form.closest("[data-point]").querySelector("[data-message]").textContent) {
    write(form).catch((error) => plainly(form, null, error));
  }
});

document.addEventListener("input", (event) => {
  if (event.target.matches?.("input.number")) say(event.target.closest("[data-point]"), "");
});

// ------------------------------------------------------------------ what became of it

const redrawn = new Set(); // records that the page was drawn anew for
const page = document.documentElement;

// Once records are sent, the server draws their fields anew, unless somebody is typing there again.
async function settle(records) {
  const here = new Set([...document.querySelectorAll("[data-tag]")].map((sheet) => sheet.dataset.tag));
  await overlay(records);
  const sent = fresh(records).filter((one) => here.has(one.tag) && one.state === "sent" && !redrawn.has(one.seq));
  if (!sent.length) return;
  for (const record of sent) redrawn.add(record.seq);
  if (sent.some((record) => record.kind === "finish")) return location.assign("/");
  await redraw(sent);
}

async function redraw(sent) {
  const typing = (point) => document.querySelector(`[data-point="${point}"] input.number`)?.value;
  const all = [...document.querySelectorAll("[data-point]")].map((one) => one.dataset.point);
  const points = "kept" in page.dataset ? all : [...new Set(sent.map((one) => one.point).filter(Boolean))];
  const fields = () => points.filter((point) => !typing(point)).map((point) => `[data-point="${point}"]`);
  const told = sent.some((record) => !record.point) ? ['[aria-labelledby="events"]', "#running", '[aria-labelledby="again"]'] : [];
  await refresh(() => [...ROUND_PARTS, ...told, ...fields()]);
}

// When the network is back, a kept page becomes one of now.
addEventListener("online", () => "kept" in page.dataset && redraw([]));

onChange(settle);

// ------------------------------------------------------------------ without typing

// The stepper goes on from what stands in the field, else from the last value.
document.addEventListener("click", (event) => {
  const button = event.target.closest?.("[data-step]");
  if (!button) return;
  const form = button.closest("[data-reading]");
  const { text, unit } = form.elements;
  const { start, by } = button.parentElement.dataset;
  const typed = Number(text.value.trim().replace(",", "."));
  const from = text.value.trim() && Number.isFinite(typed) ? typed : Number(start);
  text.value = stepped(from, Number(button.dataset.step), by);
  unit.selectedIndex = 0;
  say(form.closest("[data-point]"), "");
});

// The glass: where it is tapped is how high it stands; arrow keys do the same.
function fill(glass, value) {
  const [low, high] = [Number(glass.getAttribute("aria-valuemin")), Number(glass.getAttribute("aria-valuemax"))];
  const text = stepped(Math.min(Math.max(value, low), high), 0, glass.dataset.by);
  const share = ((Number(text) - low) / (high - low)) * 100;
  const form = glass.closest("[data-point]").querySelector("[data-reading]");
  glass.setAttribute("aria-valuenow", text);
  glass.setAttribute("aria-valuetext", `${text} ${glass.dataset.glass}`);
  glass.querySelector(".level").setAttribute("y", 100 - share);
  glass.querySelector(".level").setAttribute("height", share);
  form.elements.text.value = text;
  form.elements.unit.value = glass.dataset.glass;
  say(glass.closest("[data-point]"), "");
}

document.addEventListener("click", (event) => {
  const glass = event.target.closest?.("[data-glass]");
  if (!glass) return;
  const box = glass.querySelector(".tube").getBoundingClientRect();
  const [low, high] = [Number(glass.getAttribute("aria-valuemin")), Number(glass.getAttribute("aria-valuemax"))];
  fill(glass, low + ((box.bottom - event.clientY) / box.height) * (high - low));
});

document.addEventListener("keydown", (event) => {
  const glass = event.target.closest?.("[data-glass]");
  const steps = { ArrowUp: 1, ArrowRight: 1, ArrowDown: -1, ArrowLeft: -1, PageUp: 5, PageDown: -5 }[event.key];
  if (!glass || !steps) return;
  event.preventDefault();
  fill(glass, Number(glass.getAttribute("aria-valuenow")) + steps * Number(glass.dataset.by));
});
