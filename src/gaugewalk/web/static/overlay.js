// Shows on a page what was written on this phone and is not drawn by the server yet: verdict, mark,
// last value, what is still open.

import { timeOf } from "./line.js";
import { all } from "./store.js";

const page = document.documentElement;
const STATES = {
  waiting: "Kept on this phone, not sent yet.",
  sent: "",
};
const ANSWERS = ["reading", "correction", "skip"];
let pump; // what this page's pump is judged by

export function carried() {
  pump ??= JSON.parse(document.getElementById("carried")?.textContent ?? "null");
  return pump;
}

// Records that this page was drawn without, oldest first.
export function fresh(records) {
  const drawn = Date.parse(page.dataset.now);
  return records.filter((record) => record.state !== "sent" || !record.there || Date.parse(record.there) >= drawn);
}

// The points of a pump as written on this phone, for judging the others by.
export function mineAt(records, tag) {
  const found = {};
  for (const record of fresh(records)) {
    if (record.tag !== tag || !record.judged || record.state === "refused") continue;
    const { value, verdict } = record.judged;
    found[record.point] = { value, at: new Date(record.said).toISOString(), plausible: verdict?.plausible ?? true };
  }
  return found;
}

export async function overlay(given) {
  const records = fresh(given ?? (await all()));
  for (const section of document.querySelectorAll("[data-tag] [data-point]")) {
    const { tag } = section.closest("[data-tag]").dataset;
    const mine = records.filter((one) => one.tag === tag && one.point === section.dataset.point && ANSWERS.includes(one.kind));
    if (mine.length) apply(section, mine.at(-1));
  }
  for (const check of document.querySelectorAll("[data-tag] [data-finding]")) {
    const { tag } = check.closest("[data-tag]").dataset;
    const mine = records.filter((one) => one.tag === tag && one.finding === check.dataset.finding && one.kind === "observation");
    if (mine.length) answered(check, mine.at(-1));
  }
  for (const form of document.querySelectorAll("[data-tag] [data-look]")) {
    const { tag } = form.closest("[data-tag]").dataset;
    const mine = records.filter((one) => one.tag === tag && one.look === form.dataset.look);
    if (!mine.length) continue;
    for (const button of form.querySelectorAll("button")) {
      button.setAttribute("aria-pressed", String(button.value === mine.at(-1).words));
    }
  }
  progress(records);
}

function answered(check, record) {
  const value = { true: "yes", false: "no", null: "unknown" }[record.fields.present];
  for (const button of check.querySelectorAll("button[name=present]")) {
    button.setAttribute("aria-pressed", String(button.value === value));
  }
  const place = check.querySelector("[data-state]");
  if (place) place.textContent = record.state === "refused" ? record.answer.error : STATES[record.state];
}

function apply(section, record) {
  const mark = `${record.seq} ${record.state}`;
  if (section.dataset.applied === mark) return;
  section.dataset.applied = mark;
  if (record.state === "refused") return refuse(section, record);
  if (record.kind === "skip") skipped(section, record);
  else taken(section, record);
  section.querySelector("[data-state]").textContent = STATES[record.state];
  firstHelp(section, record);
  return undefined;
}

function refuse(section, record) {
  const input = section.querySelector("input.number");
  if (input && !input.value && record.fields.text) input.value = record.fields.text;
  input?.setAttribute("aria-invalid", "true");
  section.querySelector("[data-message]").textContent = [record.answer.error, record.answer.do].filter(Boolean).join(" ");
  section.querySelector("[data-state]").textContent = "";
}

function skipped(section, record) {
  marked(section, "", "not taken");
  section.querySelector("[data-said]").textContent = `Not taken: ${record.fields.reason}`;
}

function taken(section, record) {
  const verdict = record.answer?.verdict ?? record.judged?.verdict;
  const shown = record.judged?.shown ?? record.fields.text;
  section.querySelector("[data-last]").textContent = `written ${shown}, ${timeOf(record.said)}`;
  section.querySelector("[data-said]").textContent = verdict?.sentence ?? "";
  if (verdict) marked(section, verdict.severity, verdict.severity);
  section.dataset.corrects = record.fields.corrects ?? record.id;
  const button = section.querySelector("[data-reading] button:not([type])");
  if (button) button.textContent = "Correct";
  button?.classList.remove("main");
  section.querySelector("[data-skip]")?.remove();
  point(section, record);
}

// While there is no network: what the book names for this sign, with links to pages that are here.
function firstHelp(section, record) {
  section.querySelector(".first-help")?.remove();
  const causes = record.state === "waiting" && record.judged ? causesOf(record) : [];
  if (!causes.length) return;
  const place = document.createElement("p");
  place.className = "first-help";
  place.append("By this sign alone it may be: ");
  causes.forEach(([id, title], at) => {
    const link = document.createElement("a");
    link.href = `/causes/${id}`;
    link.textContent = title;
    place.append(at ? "; " : "", link);
  });
  place.append(". Its page says what to do, and with what care. The ranking follows when this is sent.");
  section.querySelector("[data-state]").after(place);
}

function causesOf({ point, judged }) {
  const { verdict, value, low } = judged;
  const help = carried()?.points[point]?.help ?? {};
  if (verdict.severity === "normal") return [];
  if (low !== null) return help.swinging ?? [];
  const [least, most] = verdict.band ?? [null, null];
  if (least !== null && value < least) return help.low ?? help.zero ?? [];
  return most !== null && value > most ? help.high ?? [] : [];
}

function marked(section, severity, words) {
  const made = document.getElementById("marks")?.content.querySelector(`[data-of="${severity || "none"}"]`);
  if (!made) return;
  const mark = section.querySelector("[data-mark]");
  mark.replaceChildren(document.importNode(made, true).firstElementChild);
  mark.querySelector("span span").textContent = words;
  section.classList.remove("none", "normal", "watch", "act", "stop");
  section.classList.add(severity || "none");
}

// The pointer of the small scale goes to the new value.
function point(section, record) {
  const scale = section.querySelector(".scale");
  const pointer = scale?.querySelector(".pointer");
  if (!pointer || !record.judged) return;
  const { low, high } = scale.dataset;
  const share = Math.min(Math.max((record.judged.value - low) / (high - low), 0), 1);
  pointer.setAttribute("transform", `translate(${(10 + share * 280).toFixed(1)} 0)`);
  pointer.removeAttribute("visibility");
}

function progress(records) {
  let open = 0;
  for (const step of document.querySelectorAll(".progress a[data-open]")) {
    const left = step.dataset.open.split(" ").filter(Boolean);
    const done = new Set(records.filter((one) => one.tag === step.dataset.tag && one.state !== "refused" && ANSWERS.includes(one.kind)).map((one) => one.point));
    const still = left.filter((point) => !done.has(point)).length;
    open += still;
    step.classList.toggle("done", !still);
    step.querySelector(".hidden-words").textContent = still ? "" : "done: ";
  }
  const place = document.querySelector("[data-left]");
  if (!place) return;
  place.textContent = place.textContent.replace(/^\d+/, open);
  for (const part of document.querySelectorAll("[data-while-open]")) part.hidden = !open;
}
