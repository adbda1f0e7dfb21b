// A field of a round or of a pump's page: writes the reading, shows the verdict beside it at once.

import { newId } from "./ids.js";
import { refresh, send } from "./send.js";

const waiting = new Map(); // point -> { text, id }: the same try again is the same record

function stamp() {
  return { seen_at: new Date().toISOString() };
}

function idFor(point, text) {
  const before = waiting.get(point);
  if (before && before.text === text) return before.id;
  const id = newId();
  waiting.set(point, { text, id });
  return id;
}

function say(section, message) {
  section.querySelector("[data-message]").textContent = message;
  const input = section.querySelector("input.number");
  if (message) input.setAttribute("aria-invalid", "true");
  else input.removeAttribute("aria-invalid");
}

function record(section, text, unit) {
  const sheet = section.closest("[data-tag]");
  const { point, corrects } = section.dataset;
  const id = idFor(point, `${text} ${unit}`);
  if (corrects) return ["corrections", { id, corrects, text, unit, ...stamp() }];
  const made = { id, tag: sheet.dataset.tag, point, text, unit, ...stamp() };
  if (sheet.dataset.round) made.round = sheet.dataset.round;
  return ["readings", made];
}

async function write(form) {
  const section = form.closest("[data-point]");
  const input = form.elements.text;
  const text = input.value.trim();
  if (!text) return say(section, "Nothing was typed. Type a number, or say why it was not taken.");
  if (section.dataset.busy) return undefined;
  section.dataset.busy = "yes";
  const answer = await send(...record(section, text, form.elements.unit.value));
  delete section.dataset.busy;
  if (!answer.ok) return say(section, answer.message);
  waiting.delete(section.dataset.point);
  say(section, "");
  const { verdict } = answer.body;
  section.querySelector("[data-said]").textContent = verdict.sentence;
  if (input.value.trim() === text) input.value = "";
  return renew(section);
}

// The field is drawn anew by the server, unless somebody is typing in it again already.
async function renew(section) {
  const { point } = section.dataset;
  const typing = () => section.querySelector("input.number").value !== "";
  const parts = [".progress", "#checks", "#finish", ".pump-drawing"];
  await refresh(() => (typing() ? parts : [...parts, `[data-point="${point}"]`]));
}

async function skip(form, button) {
  const section = form.closest("[data-point]");
  const sheet = section.closest("[data-tag]");
  const reason = button?.name === "reason" ? button.value : form.querySelector("input[type=text]").value.trim();
  if (!reason) return say(section, "Say in a few words why it was not taken.");
  const { point } = section.dataset;
  const made = { id: newId(), tag: sheet.dataset.tag, point, reason, ...stamp() };
  if (sheet.dataset.round) made.round = sheet.dataset.round;
  const answer = await send("skips", made);
  if (!answer.ok) return say(section, answer.message);
  section.querySelector("input.number").value = "";
  section.querySelector("[data-skip]").open = false;
  return renew(section);
}

async function answer(form, button) {
  const section = form.closest("[data-finding]");
  const sheet = section.closest("[data-tag]");
  const present = { yes: true, no: false, unknown: null }[button.value];
  const made = { id: newId(), tag: sheet.dataset.tag, finding: section.dataset.finding, present, ...stamp() };
  const taken = await send("observations", made);
  let line = section.querySelector(".message");
  if (!line) {
    line = document.createElement("p");
    line.className = "message";
    line.setAttribute("role", "status");
    section.append(line);
  }
  line.textContent = taken.ok ? "" : taken.message;
  if (!taken.ok) return;
  for (const other of form.querySelectorAll("button")) other.setAttribute("aria-pressed", String(other === button));
  if (sheet.id === "checks") await refresh(() => ["#checks"]);
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.matches("[data-reading]")) {
    event.preventDefault();
    write(form);
  } else if (form.closest("[data-skip]")) {
    event.preventDefault();
    skip(form, event.submitter);
  } else if (form.matches("[data-answer]")) {
    event.preventDefault();
    answer(form, event.submitter);
  }
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
