// A reading of a point: judged here at once, kept on this phone, sent when there is a network.

import { contextOf, judge, loadUnits, read } from "./judge.js";
import { keep, send } from "./outbox.js";
import { carried, mineAt } from "./overlay.js";
import { all } from "./store.js";
import { show, span } from "./units.js";

const ready = loadUnits().then(() => true, () => false); // without its table the server alone reads

export function sheetOf(part) {
  return part.closest("[data-tag]")?.dataset ?? {};
}

export function inRound(part) {
  const { round } = sheetOf(part);
  return round ? { round } : {};
}

// Reads and judges what was typed; throws where it cannot be read.
async function judged(point, text, unit) {
  const pump = carried();
  if (!pump?.points[point] || !(await ready)) return null;
  const quantity = read(pump, point, text, unit);
  const mine = mineAt(await all(), pump.tag);
  const verdict = judge(pump, point, quantity, contextOf(pump, point, mine, Date.now()));
  const { value, low, high } = quantity;
  const own = pump.points[point].unit;
  const shown = low === null ? show(value, own, pump.barometric) : span(low, high, own, pump.barometric);
  return { value, low, high, shown, verdict };
}

// Keeps a reading of the point that a part of the page stands for, and sends it. `corrects` names
// the reading whose place it takes, if any.
export async function writeReading(section, text, unit, corrects = "") {
  const { point } = section.dataset;
  const { tag } = sheetOf(section);
  const about = { tag, point, judged: await judged(point, text, unit), ...inRound(section) };
  if (corrects) await keep("correction", { corrects, text, unit }, about);
  else await keep("reading", { tag, point, text, unit, ...inRound(section) }, about);
  send();
}
