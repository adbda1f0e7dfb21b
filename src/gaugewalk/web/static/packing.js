// The packing loop: count, one flat on each nut in turn, wait, count again, until it is in its band
// and never past it. It remembers where it stands, also when the page is closed.

import { onCount } from "./drops.js";
import { keep, send } from "./outbox.js";
import { fact, keepFact } from "./store.js";

// What is to be done next. `state`: { rate, way, turned, flats, until } of one visit; `band`: low,
// high [drops/min]; `now` [ms]. Pure, so that it can be tried by itself.
export function nextStep(state, band, now) {
  if (state.smoked) return { do: "stop" };
  if (state.rate === null) return { do: "count" };
  if (state.until && now < state.until) return { do: "wait", until: state.until };
  if (state.until) return { do: "recount" };
  if (state.rate < band.low) return { do: "loosen", nut: state.turned + 1 };
  if (state.rate <= band.high) return { do: "leave" };
  if (state.flats >= band.most) return { do: "enough" };
  return { do: "tighten", nut: state.turned + 1 };
}

// A nut was turned by one flat; after the last one the waiting begins.
export function turned(state, band, now) {
  const count = state.turned + 1;
  if (count < band.nuts) return { ...state, turned: count };
  return { ...state, turned: 0, flats: state.flats + 1, until: now + band.wait * 1000 };
}

export function counted(state, rate) {
  return { ...state, rate, turned: 0, until: null };
}

export const FRESH = { rate: null, turned: 0, flats: 0, until: null, smoked: false };

const ADVICE = {
  stop: () =>
    "Stop the pump under the site's procedure and let it cool; no cold water on a hot gland. Afterwards it is started with more leak-off. It is written down.",
  count: () => "Count the drops first.",
  wait: () => "Wait: the heat comes later than the drops. Stay near, and stop the pump if it smokes.",
  recount: () => "The wait is over. Count again before any other flat.",
  leave: (state) => `${state.rate} drops/min is in its band: do nothing more.`,
  enough: () => "So many flats without an answer: leave it, keep the leak in bounds, and ask for repacking.",
  loosen: (state) => `${state.rate} drops/min is too little. Loosen each nut one flat in turn; never take a nut off. If it smokes, stop the pump.`,
  tighten: (state) => `${state.rate} drops/min is too much. One flat on each nut in turn, no more.`,
};

export function beginPacking() {
  const sheet = document.querySelector("[data-packing]");
  if (!sheet) return;
  const { low, high, nuts, wait, most, tag } = sheet.dataset;
  const band = { low: Number(low), high: Number(high), nuts: Number(nuts), wait: Number(wait), most: Number(most) };
  if (!low || !high) {
    sheet.querySelector("[data-advice]").textContent = "The plant file sets no band for this packing; ask what it needs before a nut is turned.";
    return;
  }
  const name = `packing/${tag}`;
  const at = (part) => sheet.querySelector(`[data-${part}]`);
  let state = FRESH;

  async function become(next) {
    state = next;
    await keepFact(name, state);
    render();
  }

  function nutsFor(step) {
    return Array.from({ length: band.nuts }, (_, place) => {
      const item = document.createElement("li");
      const button = document.createElement("button");
      button.type = "button";
      const done = place < state.turned;
      button.textContent = `Nut ${place + 1}: one flat ${step.do === "loosen" ? "looser" : "tighter"}${done ? ", done" : ""}`;
      button.disabled = place !== state.turned;
      button.setAttribute("aria-pressed", String(done));
      button.addEventListener("click", () => turn(step));
      item.append(button);
      return item;
    });
  }

  async function turn(step) {
    const next = turned(state, band, Date.now());
    if (next.turned === 0) {
      const way = step.do === "loosen" ? "looser" : "tighter";
      const text = `Packing: one flat ${way} on each of ${band.nuts} nuts, at ${state.rate} drops/min.`;
      await keep("note", { tag, text }, { tag });
      send();
    }
    await become(next);
    at("nut-list").querySelector("button:not(:disabled)")?.focus();
  }

  function render() {
    const step = nextStep(state, band, Date.now());
    const advice = ADVICE[step.do](state);
    if (at("advice").textContent !== advice) at("advice").textContent = advice;
    const turning = step.do === "tighten" || step.do === "loosen";
    const drawn = turning ? `${step.do} ${state.turned}` : "";
    if (at("nut-list").dataset.drawn !== drawn) {
      at("nut-list").dataset.drawn = drawn;
      at("nut-list").replaceChildren(...(turning ? nutsFor(step) : []));
    }
    at("recount").hidden = step.do !== "recount";
    at("stop-here").hidden = state.rate === null && !state.smoked;
    at("clock").hidden = step.do !== "wait";
    if (step.do === "wait") {
      const left = Math.max(0, Math.ceil((step.until - Date.now()) / 1000));
      at("clock").textContent = `${Math.floor(left / 60)}:${String(left % 60).padStart(2, "0")}`;
    }
  }

  onCount((rate) => become(state.until && Date.now() < state.until ? { ...state, rate: Math.round(rate) } : counted(state, Math.round(rate))));
  at("recount").addEventListener("click", () => {
    document.getElementById("drops").scrollIntoView();
    document.querySelector("[data-tap]").focus();
  });
  at("stop-here").addEventListener("click", () => become(FRESH));
  at("smokes").addEventListener("click", async () => {
    for (const finding of ["gland-smoke", "gland-hot"]) await keep("observation", { tag, finding, present: true }, { tag, finding });
    await become({ ...FRESH, smoked: true });
    send();
  });
  fact(name).then((kept) => {
    if (kept) state = kept;
    render();
    setInterval(render, 1000);
  });
}
