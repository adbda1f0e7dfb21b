// Drops a minute, by a tap at each drop: the time from the first to the last tap, and how many.

import { showResult } from "./result.js";

const MILLILITER = 20; // drops, as the table of units has it
const told = new EventTarget(); // a count that was written: { rate }

export function onCount(listener) {
  told.addEventListener("count", (event) => listener(event.detail));
}

// Drops a minute between the first and the last of some moments [ms]; null with fewer than two.
export function rateOf(taps) {
  if (taps.length < 2) return null;
  const minutes = (taps.at(-1) - taps[0]) / 60000;
  return minutes > 0 ? (taps.length - 1) / minutes : null;
}

export function rounded(rate) {
  return rate < 10 ? Math.round(rate * 10) / 10 : Math.round(rate);
}

export function beginDrops() {
  const sheet = document.querySelector("[data-drops]");
  if (!sheet) return;
  const at = (name) => sheet.querySelector(`[data-${name}]`);
  let taps = [];

  function render() {
    const rate = rateOf(taps);
    at("rate").textContent = rate === null ? "–" : `${rounded(rate)} drops/min`;
    at("volume").textContent = rate === null ? "" : `${(rate / MILLILITER).toFixed(1)} mL/min`;
    at("count").textContent = taps.length ? `${taps.length} drops counted${taps.length < 10 ? "; ten or more make a good count" : ""}.` : "Ten drops or more make a good count.";
    at("write").disabled = rate === null;
  }

  function tap(event) {
    event.preventDefault();
    taps.push(event.timeStamp);
    render();
  }

  async function write(text, unit, rate) {
    await showResult(sheet, sheet.dataset.drops, text, unit);
    taps = [];
    render();
    told.dispatchEvent(new CustomEvent("count", { detail: rate }));
  }

  at("tap").addEventListener("pointerdown", tap);
  at("tap").addEventListener("keydown", (event) => {
    if ((event.key === " " || event.key === "Enter") && !event.repeat) tap(event);
  });
  at("write").addEventListener("click", () => {
    const rate = rounded(rateOf(taps));
    write(String(rate), "drops/min", rate);
  });
  at("again").addEventListener("click", () => {
    taps = [];
    render();
  });
  at("none").addEventListener("click", () => write("0", "drops/min", 0));
  at("cup").addEventListener("submit", (event) => {
    event.preventDefault();
    const number = (name) => Number(event.target.elements[name].value.trim().replace(",", "."));
    const [volume, seconds] = [number("volume"), number("seconds")];
    const good = volume > 0 && seconds > 0 && Number.isFinite(volume / seconds);
    at("cup-message").textContent = good ? "" : "Two numbers above zero, as in 25 and 60.";
    if (good) write(((volume / seconds) * 60).toPrecision(3), "mL/min", (volume / seconds) * 60 * MILLILITER);
  });
  render();
}
