// Asks to look again in some minutes; counts down here, and for everybody once it is sent.

import { keep, onChange, send } from "./outbox.js";
import { all } from "./store.js";

export function beginRecheck() {
  const sheet = document.querySelector("[data-recheck]");
  const { tag } = sheet.dataset;
  const list = sheet.querySelector("[data-waiting]");

  function render(records) {
    const mine = records.filter((one) => one.kind === "recheck" && one.tag === tag && one.state !== "refused");
    const rows = mine.map((one) => ({ what: one.fields.what, due: one.said + one.fields.in_seconds * 1000 }));
    list.replaceChildren(...rows.filter((row) => row.due > Date.now() - 3600000).map(lineOf));
  }

  function lineOf(row) {
    const item = document.createElement("li");
    const margin = document.createElement("div");
    margin.className = "margin";
    const clock = document.createElement("b");
    clock.className = "when figures";
    const left = Math.ceil((row.due - Date.now()) / 1000);
    clock.textContent = left > 0 ? `${Math.floor(left / 60)}:${String(left % 60).padStart(2, "0")}` : "now";
    margin.append(clock);
    const line = document.createElement("div");
    line.className = "line";
    line.textContent = row.what;
    item.append(margin, line);
    item.classList.toggle("act", left <= 0);
    return item;
  }

  sheet.addEventListener("click", async (event) => {
    const { minutes } = event.target.closest("[data-minutes]")?.dataset ?? {};
    if (!minutes) return;
    const what = sheet.querySelector("[data-what]").value.trim() || `Look at ${tag} again`;
    await keep("recheck", { tag, what, in_seconds: Number(minutes) * 60 }, { tag });
    send();
  });
  onChange(render);
  all().then(render);
  setInterval(async () => render(await all()), 1000);
}
