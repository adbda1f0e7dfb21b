// One reading judged at once, with or without a network, from what travelled along with the page:
// plausible? inside its limits? usual for this pump at this duty? The same words as the server's.
// What only the past readings tell (drift, a gauge that stands still) is added when it is sent.

import { doubtOf } from "./doubt.js";
import { BAND, expectedBand, roughScale } from "./expect.js";
import { loadUnits, parse, show, span } from "./units.js";

const RANK = ["normal", "watch", "act", "stop"];
const ACT_BANDS = 3; // half widths of the own band from which a deviation is for this shift
const TOGETHER = 30 * 60 * 1000; // readings this close show the same moment [ms]

export { loadUnits };

// Reads what was typed for a point; throws a UnitError that says what to write.
export function read(pump, name, text, unit) {
  const point = pump.points[name];
  return parse(text, point.kinds, { unit: unit || point.unit, barometric: pump.barometric });
}

// What the pump's other points showed within half an hour, and whether it runs: the page's own
// values with those written on this phone since laid over them.
export function contextOf(pump, name, mine, at) {
  const near = {};
  for (const [point, row] of Object.entries({ ...pump.last, ...mine })) {
    const seen = Date.parse(row.at);
    if (point !== name && row.plausible && seen <= at && seen >= at - TOGETHER) near[point] = row.value;
  }
  for (const [point, least] of pump.turning) {
    if (point in near) return { ...near, running: near[point] > least ? 1 : 0 };
  }
  const told = pump.told && Date.parse(pump.told.at) <= at ? pump.told.running : null;
  return told === null ? near : { ...near, running: told ? 1 : 0 };
}

export function judge(pump, name, quantity, context) {
  const seen = look(pump, name, quantity, context);
  const severity = severityOf(seen);
  const reasons = reasonsOf(seen, severity);
  return {
    severity,
    sentence: reasons[0],
    reasons,
    plausible: !seen.doubt || seen.doubt.possible,
    suspicion: seen.doubt ? seen.doubt.words : null,
    band: seen.band ? [seen.band.low, seen.band.high].map(finite) : null,
    rests_on: seen.band ? seen.band.readings : 0,
    deviation: seen.deviation,
  };
}

function finite(value) {
  return Number.isFinite(value) ? value : null;
}

function look(pump, name, quantity, context) {
  const point = pump.points[name];
  const { barometric } = pump;
  const running = (context.running ?? 1) > 0.5;
  const judged = (running || point.static) && !point.counter;
  const band = expectedBand(point, context, barometric);
  const low = quantity.low ?? quantity.value;
  const high = quantity.high ?? quantity.value;
  const scale = band && band.scale ? band.scale : null;
  const compared = judged && band && band.source !== "limits" && scale;
  return {
    point, quantity, band, judged, barometric,
    limit: worstBeyond(point.limits, low, high, judged),
    doubt: doubtOf(quantity, point, judged ? band : null, barometric),
    swing: judged && high - low > 2 * BAND * (scale ?? roughScale(quantity.value, quantity.kind, barometric)),
    deviation: compared ? (quantity.value - band.middle) / scale : null,
  };
}

// A standing pump has no pressure, flow or current: only too high still means something.
function worstBeyond(limits, low, high, judged) {
  let worst = null;
  for (const [severity, side, value, source] of limits) {
    const beyond = side === "low" ? judged && low < value : high > value;
    if (beyond && (!worst || RANK.indexOf(severity) > RANK.indexOf(worst.severity))) {
      worst = { severity, side, value, source };
    }
  }
  return worst;
}

function outside(seen) {
  return seen.deviation !== null && Math.abs(seen.deviation) > BAND;
}

// A deviation from the own normal so large that this shift must act.
function far(seen) {
  const own = seen.judged && seen.band?.source === "own normal" && seen.deviation !== null;
  const fall = seen.point.rise_only && seen.deviation < 0;
  return own && !fall && Math.abs(seen.deviation) > ACT_BANDS * BAND;
}

// Act for being far from usual, not for a limit; no slip of the pen is.
function farDecides(seen) {
  return far(seen) && seen.doubt?.possible !== false && !["act", "stop"].includes(seen.limit?.severity);
}

function severityOf(seen) {
  const found = seen.limit ? [seen.limit.severity] : [];
  if (seen.judged) {
    if (seen.doubt || outside(seen) || seen.swing) found.push("watch");
    if (far(seen)) found.push("act");
  }
  return found.reduce((a, b) => (RANK.indexOf(b) > RANK.indexOf(a) ? b : a), "normal");
}

// ------------------------------------------------------------------ the sentences

function reasonsOf(seen, severity) {
  const limit = seen.limit ? beyond(seen) : "";
  const reasons = limit ? [limit] : [];
  if (farDecides(seen)) reasons.unshift(farWords(seen));
  if (!seen.judged) {
    return [...reasons, `${reading(seen)}: the pump stands, so its running normal does not apply.`];
  }
  if (seen.swing) reasons.push(swings(seen));
  if (outside(seen) && !farDecides(seen)) reasons.push(`${reading(seen)} is ${side(seen)} ${seen.band.sentence}.`);
  if (!reasons.length) reasons.push(inside(seen, severity));
  if (seen.doubt?.possible) reasons.push(doubted(seen.doubt, ""));
  else if (seen.doubt) reasons[0] = doubted(seen.doubt, limit);
  return reasons;
}

function reading({ point, quantity, barometric }) {
  const { value, low, high } = quantity;
  const shown = low === null ? show(value, point.unit, barometric) : span(low, high, point.unit, barometric);
  return `${point.label} ${shown}`;
}

function beyond(seen) {
  const { limit, band, point } = seen;
  const where = limit.side === "low" ? "below" : "above";
  const usual = band?.source === "own normal" ? `; ${band.sentence}` : "";
  const value = show(limit.value, point.unit, seen.barometric);
  return `${reading(seen)} is ${where} the ${limit.severity} limit ${value} (${limit.source})${usual}.`;
}

function side({ quantity, band }) {
  return quantity.value < band.middle ? "below" : "above";
}

function farWords(seen) {
  const times = Math.abs(seen.quantity.value - seen.band.middle) / (BAND * seen.band.scale);
  return (
    `${reading(seen)} is far ${side(seen)} ${seen.band.sentence}: more than ${Math.trunc(times)} times ` +
    "as far from its middle as it usually goes, so act in this shift."
  );
}

function swings(seen) {
  const usual = seen.band ? `, compared with ${seen.band.sentence}` : "";
  return `${reading(seen)} swings${usual}.`;
}

function inside(seen, severity) {
  if (seen.band) return `${reading(seen)} is inside ${seen.band.sentence}.`;
  const learned = severity === "normal" && !seen.doubt && !seen.point.episode;
  const count = seen.point.samples + (learned ? 1 : 0);
  return `${reading(seen)} is kept; there is no limit and no own normal yet (${count} of 8 readings).`;
}

function doubted(doubt, limit) {
  const again = limit ? "read again at once" : "check the entry";
  const words = doubt.words[0].toUpperCase() + doubt.words.slice(1);
  return `${words}${doubt.words.endsWith("?") ? "" : "."} Please ${again}. ${limit}`.trim();
}
