// Where a reading is expected, as the server works it out: the pump's own normal at the present
// values of what drives it, else what the plant file says. SI inside.

import { about, kindOf, show } from "./units.js";

export const BAND = 4; // half width of the band in usual scatters
const SHARE = 0.1 / BAND;
const DEGREES = 8 / BAND;
const LEAST_PRESSURE = 5000 / BAND;
const MAY_BE_NEGATIVE = ["temperature", "temperature_difference", "length", "number"];

// Scatter to go by where nothing is known of the gauge.
export function roughScale(value, kind, barometric) {
  if (kind === "temperature") return DEGREES;
  if (kind === "pressure") return Math.max(SHARE * Math.abs(value - barometric), LEAST_PRESSURE);
  return Math.max(SHARE * Math.abs(value), 1e-9);
}

export function expectedBand(point, context, barometric) {
  if (point.fit) return ownNormal(point, context, barometric);
  if (!point.band) return null;
  const { low, high } = point.band;
  return { ...point.band, low: low ?? -Infinity, high: high ?? Infinity };
}

function ownNormal(point, context, barometric) {
  const { fit, drivers, unit } = point;
  const [middle, scatter] = expect(fit, drivers.map((driver) => term(driver, context)));
  const scale = scatter * (1 + 6 / Math.max(fit.readings, 1));
  let low = middle - BAND * scale;
  if (!MAY_BE_NEGATIVE.includes(kindOf(unit))) low = Math.max(low, Math.min(0, middle));
  const high = middle + BAND * scale;
  const words = `its own normal ${about(low, high, unit, barometric)}`;
  const at = atWhich(fit, drivers, context, barometric);
  const sentence = `${words} (${fit.readings} readings${at})`;
  return { low, high, middle, readings: fit.readings, source: "own normal", sentence, scale };
}

function term(driver, context) {
  const raw = context[driver.point] ?? NaN;
  return driver.power === 1 ? raw : Math.abs(raw) ** (driver.power - 1) * raw;
}

function expect(fit, terms) {
  let value = fit.middle;
  let variance = fit.scale ** 2;
  const count = Math.min(terms.length, fit.centers.length, fit.slopes.length, fit.spreads.length);
  for (let at = 0; at < count; at += 1) {
    const [slope, spread] = [fit.slopes[at], fit.spreads[at]];
    if (!Number.isFinite(terms[at])) {
      variance += (slope * spread) ** 2;
      continue;
    }
    const away = terms[at] - fit.centers[at];
    const inside = Math.max(-3 * spread, Math.min(3 * spread, away));
    value += slope * inside;
    variance += (slope * (away - inside)) ** 2;
  }
  return [value, Math.sqrt(variance)];
}

function atWhich(fit, drivers, context, barometric) {
  const parts = drivers
    .filter((driver, at) => fit.slopes[at] && driver.point in context)
    .map((driver) => `${driver.label.toLowerCase()} ${show(context[driver.point], driver.unit, barometric)}`);
  return parts.length ? `, at ${parts.join(" and ")}` : "";
}
