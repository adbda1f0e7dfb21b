// A trouble: an answer to a check ranks the causes anew at once; an action is ticked as done.

import { newId } from "./ids.js";
import { refresh, send } from "./send.js";

function complain(form, message) {
  let line = form.parentElement.querySelector(".message");
  if (!line) {
    line = document.createElement("p");
    line.className = "message";
    line.setAttribute("role", "alert");
    form.after(line);
  }
  line.textContent = message;
}

async function take(form, path, made) {
  const taken = await send(path, { id: newId(), seen_at: new Date().toISOString(), ...made });
  if (!taken.ok) return complain(form, taken.message);
  await refresh(() => ["#trouble"]);
  const told = document.getElementById("told");
  if (told) told.textContent = "Written down; the causes are ranked anew.";
  return document.getElementById(path === "actions" ? "book" : "causes")?.focus({ preventScroll: true });
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  const book = document.getElementById("trouble");
  if (form.matches("[data-answer]")) {
    event.preventDefault();
    const present = { yes: true, no: false, unknown: null }[event.submitter.value];
    const { finding } = form.closest("[data-finding]").dataset;
    take(form, "observations", { tag: book.dataset.tag, finding, present });
  } else if (form.matches("[data-action]")) {
    event.preventDefault();
    take(form, "actions", { trouble: book.dataset.trouble, do: form.elements.do.value });
  }
});
