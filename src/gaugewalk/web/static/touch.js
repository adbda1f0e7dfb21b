// How hot, by hand: a rough word, written as a note because no hand is a thermometer.

import { keep, send } from "./outbox.js";

const FINDINGS = { "too hot": ["bearing-temperature-high"] };

export function beginTouch() {
  const sheet = document.querySelector("[data-touch]");
  if (!sheet) return;
  const { tag } = sheet.dataset;
  sheet.addEventListener("click", async (event) => {
    const button = event.target.closest("[data-word]");
    if (!button) return;
    const where = sheet.querySelector("[data-where]").value;
    const text = `By hand, ${where.toLowerCase()}: ${button.dataset.said.toLowerCase()} (an estimate).`;
    await keep("note", { tag, text }, { tag });
    const bearing = /bearing/i.test(where);
    for (const finding of bearing ? FINDINGS[button.dataset.word] ?? [] : []) {
      await keep("observation", { tag, finding, present: true }, { tag, finding });
    }
    sheet.querySelector("[data-told]").textContent = `Kept: ${text}`;
    send();
  });
}
