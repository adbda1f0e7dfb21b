// A needle watched for half a minute: how low, how high. Written as a swing.

import { showResult } from "./result.js";
import { stepped } from "./step.js";

const SECONDS = 30;

export function beginSwing() {
  const sheet = document.querySelector("[data-swing]");
  const which = sheet.querySelector("[data-which]");
  if (!which?.options.length) {
    sheet.hidden = true;
    return;
  }
  const at = (name) => sheet.querySelector(`[data-${name}]`);
  const ends = { lowest: "", highest: "" };
  let until = 0;

  const option = () => which.selectedOptions[0].dataset;

  function begin() {
    ends.lowest = ends.highest = option().start || "0";
    until = 0;
    at("clock").textContent = `${SECONDS} s`;
    render();
  }

  function render() {
    for (const end of ["lowest", "highest"]) at(end).textContent = `${ends[end]} ${option().symbol}`;
    at("write").disabled = ends.lowest === ends.highest;
  }

  function move(end, steps) {
    const next = stepped(ends[end], steps, option().step || "1");
    const wrong = end === "lowest" ? Number(next) > Number(ends.highest) : Number(next) < Number(ends.lowest);
    if (wrong) return;
    ends[end] = next;
    render();
  }

  const buttons = { "low-down": ["lowest", -1], "low-up": ["lowest", 1], "high-up": ["highest", 1], "high-down": ["highest", -1] };
  for (const [name, [end, steps]] of Object.entries(buttons)) at(name).addEventListener("click", () => move(end, steps));
  which.addEventListener("change", begin);
  sheet.querySelector("button[data-start]").addEventListener("click", () => {
    until = Date.now() + SECONDS * 1000;
    at("low-down").focus();
  });
  at("write").addEventListener("click", async () => {
    await showResult(sheet, which.value, `${ends.lowest} to ${ends.highest}`, option().unit);
    begin();
  });
  setInterval(() => {
    if (!until) return;
    const left = Math.ceil((until - Date.now()) / 1000);
    at("clock").textContent = left > 0 ? `${left} s` : "Time is up: write it.";
    if (left <= 0) until = 0;
  }, 250);

  const wanted = new URLSearchParams(location.search).get("point");
  if ([...which.options].some((one) => one.value === wanted)) which.value = wanted;
  begin();
}
