// Can this reading be? The gauge's range, what nature allows, and the usual slips of the pen, as the
// server asks (judge/plausible.py).

import { fromSi, show, span, toSi } from "./units.js";

const CONFUSED = {
  pressure: ["barg", "psig", "kPag", "bara", "psia", "mbarg"],
  pressure_difference: ["bar", "psi", "kPa", "mbar", "mH2O"],
  temperature: ["degC", "degF"],
  flow: ["m3/h", "gpm", "L/min", "L/s"],
  velocity: ["mm/s", "in/s pk"],
  acceleration: ["g", "m/s2"],
  length: ["m", "ft", "mm", "in", "cm"],
  power: ["kW", "hp"],
  leakage: ["drops/min", "mL/min"],
};
const POSITIVE = [
  "current", "voltage", "power", "velocity", "acceleration", "displacement", "leakage",
  "pressure_difference", "duration", "fraction",
];
const COUNTED = ["drops/min"];
const FAR = 1.5; // half widths beyond the band's edge before a slip is worth asking about
const HALF_WAY = 0.5; // of the way from the band's middle
const FEWEST_TIMES = 3; // times the expected before a too large value is called implausible

// Returns { possible, words } or null.
export function doubtOf(quantity, point, band, barometric) {
  const slip = band && !onItsWay(quantity, band, point.before ?? null) ? slipOf(quantity, band, barometric) : null;
  const impossible = impossibleOf(quantity, point, barometric);
  if (impossible) return { possible: false, words: impossible + (slip ? `; ${slip.meant} meant?` : "") };
  return slip;
}

function impossibleOf(quantity, point, barometric) {
  const low = quantity.low ?? quantity.value;
  const high = quantity.high ?? quantity.value;
  if (low < 0 && POSITIVE.includes(quantity.kind)) return `${quantity.entered}: this quantity cannot be negative`;
  if (!point.gauge) return null;
  const { range_low: least, range_high: most, accuracy } = point.gauge;
  const slack = accuracy ?? 0;
  const outside = (least !== null && low < least - slack) || (most !== null && high > most + slack);
  return outside ? `${quantity.entered} is beyond the gauge's range ${rangeOf(least, most, point.unit, barometric)}` : null;
}

function rangeOf(least, most, unit, barometric) {
  if (least !== null && most !== null) return span(least, most, unit, barometric);
  return least !== null ? `from ${show(least, unit, barometric)} up` : `up to ${show(most ?? 0, unit, barometric)}`;
}

function slipOf(quantity, band, barometric) {
  if (quantity.low !== null || !farOutside(quantity.value, band)) return null;
  for (const [what, value, unit] of candidates(quantity, barometric)) {
    if (band.low <= value && value <= band.high) {
      const meant = show(value, unit, barometric);
      return { possible: !tooLarge(quantity, band, barometric), words: `${what}: ${meant} meant?`, meant };
    }
  }
  return null;
}

// The reading before was already half as far from the middle, or farther: no slip of the pen.
function onItsWay(quantity, band, before) {
  if (before === null || (band.low <= before && before <= band.high)) return false;
  return (before - band.middle) / (quantity.value - band.middle || 1e-300) >= HALF_WAY;
}

function farOutside(value, band) {
  let half = Math.min(band.high - band.middle, band.middle - band.low);
  if (!(half < Infinity)) half = Math.max(Math.abs(band.middle), 1e-12) / 2;
  return value > band.high + FAR * half || value < band.low - FAR * half;
}

function tooLarge(quantity, band, barometric) {
  const typed = fromSi(quantity.value, quantity.unit, barometric);
  const most = FEWEST_TIMES * Math.abs(fromSi(band.high, quantity.unit, barometric));
  return typed > most && most > 0;
}

function* candidates(quantity, barometric) {
  const { unit, entered } = quantity;
  const typed = fromSi(quantity.value, unit, barometric);
  for (const factor of [0.1, 10, 0.01, 100, 0.001, 1000]) {
    if (COUNTED.includes(unit) && !Number.isInteger(typed * factor)) continue; // no part of a drop
    yield [`decimal mark slipped, ${entered}`, toSi(typed * factor, unit, barometric), unit];
  }
  if (typed) yield [`sign lost, ${entered}`, toSi(-typed, unit, barometric), unit];
  for (const number of transposed(entered)) {
    yield [`digits swapped, ${entered}`, toSi(number, unit, barometric), unit];
  }
  for (const other of CONFUSED[quantity.kind] ?? []) {
    if (other !== unit) yield [`unit mixed up, ${entered}`, toSi(typed, other, barometric), other];
  }
}

function* transposed(entered) {
  const found = /^\s*-?[\d.,]*\d/.exec(entered);
  if (!found) return;
  const text = found[0].trim().replaceAll(",", ".");
  const places = [...text].flatMap((letter, at) => (/\d/.test(letter) ? [at] : []));
  for (let at = 0; at + 1 < places.length; at += 1) {
    const [a, b] = [places[at], places[at + 1]];
    const letters = [...text];
    [letters[a], letters[b]] = [letters[b], letters[a]];
    const made = letters.join("");
    if (letters[a] !== letters[b] && made.split(".").length <= 2) yield Number(made);
  }
}
