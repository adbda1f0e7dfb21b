// A trouble: an answer to a check ranks the causes anew at once; an action is ticked as done. Without
// a network both are kept on this phone and the ranking stays as it was.

import { keep, onChange, send } from "./outbox.js";
import { refresh } from "./refresh.js";

const states = new Map(); // seq -> state, of what was written here

async function take(form, kind, made) {
  const { tag } = document.getElementById("trouble").dataset;
  const record = await keep(kind, made, { tag, finding: made.finding });
  states.set(record.seq, { form, kind });
  say(form, "Kept on this phone.");
  await send();
}

function say(form, message) {
  let line = form.parentElement.querySelector("[data-told]");
  if (!line) {
    line = document.createElement("p");
    line.dataset.told = "";
    line.className = "told";
    line.setAttribute("role", "status");
    form.after(line);
  }
  line.textContent = message;
}

async function settle(records) {
  for (const record of records) {
    const mine = states.get(record.seq);
    if (!mine || record.state === "waiting") continue;
    states.delete(record.seq);
    if (record.state === "refused") {
      say(mine.form, [record.answer.error, record.answer.do].filter(Boolean).join(" "));
      continue;
    }
    await refresh(() => ["#trouble"]);
    document.getElementById("told").textContent = "Written down; the causes are ranked anew.";
    document.getElementById(mine.kind === "action" ? "book" : "causes")?.focus({ preventScroll: true });
  }
}

// Where this phone cannot keep anything, the form goes out the plain way.
function plainly(form, button) {
  form.dataset.plain = "";
  form.requestSubmit(button);
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if ("plain" in form.dataset) return;
  const book = document.getElementById("trouble");
  if (form.matches("[data-answer]")) {
    event.preventDefault();
    for (const button of form.querySelectorAll("button")) button.setAttribute("aria-pressed", String(button === event.submitter));
    const present = { yes: true, no: false, unknown: null }[event.submitter.value];
    const { finding } = form.closest("[data-finding]").dataset;
    take(form, "observation", { tag: book.dataset.tag, finding, present }).catch(() => plainly(form, event.submitter));
  } else if (form.matches("[data-action]")) {
    event.preventDefault();
    take(form, "action", { trouble: book.dataset.trouble, do: form.elements.do.value }).catch(() => plainly(form, event.submitter));
  }
});

onChange(settle);
