// The border for units on the phone: the same closed table as the server's, read the same way.

import { UnitError, numberOf, quoted, shortened, splitEntry, squeeze, tidy } from "./unit-text.js";

export { UnitError } from "./unit-text.js";

export const STANDARD_PRESSURE = 101325;
const TABLE = "/api/v1/units";
let known; // { units: name -> row, kinds, asks, exact, folded }

export async function loadUnits() {
  if (!known) known = indexed(await (await fetch(TABLE)).json());
}

function indexed(data) {
  const exact = new Map();
  const folded = new Map();
  for (const unit of data.units) {
    for (const word of new Set([unit.name, unit.symbol, ...unit.aliases].map(squeeze))) {
      if (!word) continue;
      put(exact, word, unit);
      put(folded, word.toLowerCase(), unit);
    }
  }
  const units = new Map(data.units.map((unit) => [unit.name, unit]));
  return { units, kinds: data.kinds, asks: data.asks, exact, folded };
}

function put(index, word, unit) {
  const rows = index.get(word) ?? [];
  if (!rows.includes(unit)) index.set(word, [...rows, unit]);
}

export function symbolOf(unit) {
  return known.units.get(unit)?.symbol ?? unit;
}

export function kindOf(unit) {
  return known.units.get(unit).kinds[0];
}

// ------------------------------------------------------------------ numbers

function line(unit, barometric) {
  if (unit.reference === "vacuum") return [-unit.factor, barometric - unit.offset];
  return [unit.factor, unit.offset + (unit.reference === "gauge" ? barometric : 0)];
}

export function toSi(value, unit, barometric) {
  const [slope, shift] = line(known.units.get(unit), barometric);
  return value * slope + shift;
}

export function fromSi(value, unit, barometric) {
  const [slope, shift] = line(known.units.get(unit), barometric);
  return (value - shift) / slope;
}

export function show(value, unit, barometric) {
  const row = known.units.get(unit);
  const number = fromSi(value, unit, barometric);
  return Number.isFinite(number) ? `${digitsOf(number)} ${row.symbol}`.trim() : "not known";
}

// Writes two values with their unit once.
// Writes the ends of a band no finer than a twentieth of its width, with their unit once.
export function about(low, high, unit, barometric) {
  const ends = [low, high].map((end) => fromSi(end, unit, barometric));
  const width = Math.abs(ends[1] - ends[0]);
  if (!(width > 1e-6 && width < 1e6)) return span(low, high, unit, barometric);
  const places = Math.max(0, Math.ceil(-Math.log10(width / 20)));
  const [first, second] = ends.map((end) => plain(end.toFixed(places)));
  return `${first} to ${second} ${show(high, unit, barometric).split(" ").slice(1).join(" ")}`.trim();
}

function plain(text) {
  const short = text.includes(".") ? text.replace(/0+$/, "").replace(/\.$/, "") : text;
  return short === "-0" ? "0" : short;
}

export function span(low, high, unit, barometric) {
  const first = show(low, unit, barometric);
  const second = show(high, unit, barometric);
  const at = first.indexOf(" ");
  const word = at < 0 ? "" : first.slice(at + 1);
  return word && second.endsWith(` ${word}`) ? `${first.slice(0, at)} to ${second}` : `${first} to ${second}`;
}

function digitsOf(number) {
  const power = Math.abs(number) > 1e-12 ? Math.floor(Math.log10(Math.abs(number))) : 0;
  if (power < -6 || power > 15) return number.toExponential(2).replace(/e([+-])(\d)$/, "e$10$2");
  let text = fixed(number, Math.max(2 - power, 0));
  if (text.includes(".")) text = text.replace(/0+$/, "").replace(/\.$/, "");
  return text === "-0" ? "0" : text;
}

// Rounds a number that stands exactly between two to the even one, as the server does.
function fixed(number, places) {
  const text = number.toFixed(places);
  const long = number.toFixed(Math.min(places + 25, 100));
  const rest = long.slice(long.indexOf(".") + 1 + places);
  if (!/^50*$/.test(rest)) return text;
  const down = long.slice(0, long.indexOf(".") + 1 + places).replace(/\.$/, "");
  return Number(down.at(-1)) % 2 === 0 ? down : text;
}

// ------------------------------------------------------------------ text

// Reads one entry; a quantity in SI, with low and high for a swing. Throws a UnitError that says
// what to write.
export function parse(text, wanted, { unit: standard, barometric = STANDARD_PRESSURE } = {}) {
  const entry = splitEntry(text, exampleOf(wanted, standard), isUnit(wanted));
  const rows = entry.filter(([, word]) => word).map(([, word]) => rowFor(text, word, wanted));
  if (!rows.length) rows.push(standardRow(text, wanted, standard));
  const ends = [rows[0], rows.at(-1)];
  const values = entry.map(([number], at) => valueOf(text, number, ends[at], barometric));
  const last = ends[1];
  const kind = wanted.find((name) => last.kinds.includes(name));
  for (const value of values) checkPossible(text, value, kind);
  const made = { kind, unit: last.name, entered: text.trim(), low: null, high: null };
  if (values.length === 1) return { ...made, value: values[0] };
  const [low, high] = [Math.min(...values), Math.max(...values)];
  return { ...made, value: low + (high - low) / 2, low, high };
}

function valueOf(text, number, row, barometric) {
  const [slope, shift] = line(row, barometric);
  const value = numberOf(text, number, { thousands: row.thousands, unit: row.name }) * slope + shift;
  if (!Number.isFinite(value)) throw new UnitError(`${shortened(text)}: the number is too large to be a reading.`);
  return value;
}

function checkPossible(text, value, kind) {
  if (kind === "pressure" && value < 0) {
    throw new UnitError(`${shortened(text)}: below a perfect vacuum by ${show(-value, "bar", 0)}; check the sign and the unit.`);
  }
  if (kind === "temperature" && value < 0) {
    throw new UnitError(`${shortened(text)}: below absolute zero (-273.15 degC); check the unit.`);
  }
}

function standardRow(text, wanted, standard) {
  if (standard) return rowFor(text, standard, wanted);
  if (wanted.includes("number")) return known.units.get("1");
  throw new UnitError(`${shortened(text)}: a number without its unit; expected ${wordsOf(wanted)}, such as ${quoted(exampleOf(wanted))}.`);
}

function rowsOf(word) {
  const key = squeeze(word);
  if (known.exact.has(key)) return known.exact.get(key);
  return (known.folded.get(key.toLowerCase()) ?? []).filter((row) => !mixesMilliAndMega(key, row.name));
}

function mixesMilliAndMega(key, name) {
  const [a, b] = [key.slice(0, 1), name.slice(0, 1)];
  const clash = "mM".includes(a) && "mM".includes(b) && a !== b && a !== "";
  return clash && key.length > 1 && key !== key.toLowerCase() && key !== key.toUpperCase();
}

function isUnit(wanted) {
  return (word) => rowsOf(word).some((row) => wanted.some((kind) => row.kinds.includes(kind)));
}

function rowFor(text, word, wanted) {
  const rows = rowsOf(word);
  const fitting = rows.filter((row) => wanted.some((kind) => row.kinds.includes(kind)));
  if (fitting.length) return fitting.find((row) => wanted.includes(row.kinds[0])) ?? fitting[0];
  const ask = known.asks[squeeze(word).toLowerCase()];
  if (ask) throw new UnitError(`${shortened(text)}: ${ask.question}? Write ${either(ask.write)}.`);
  if (rows.length) throw wrongKind(text, word, rows[0], wanted);
  throw unknown(word, wanted, text);
}

function wrongKind(text, word, row, wanted) {
  const clean = tidy(text);
  const end = tidy(word);
  const number = (clean.endsWith(end) ? clean.slice(0, clean.length - end.length) : clean).trim();
  const forms = new Map(siblings(row).map((unit) => [unit.reference, `${number} ${unit.name}`.trim()]));
  if (row.kinds[0] === "pressure_difference" && wanted.includes("pressure")) {
    const write = ["gauge", "absolute"].filter((form) => forms.has(form)).map((form) => forms.get(form));
    return new UnitError(`${shortened(text)}: gauge or absolute? Write ${either(write)}.`);
  }
  if (row.kinds[0] === "pressure" && wanted.includes("pressure_difference") && forms.has("none")) {
    return new UnitError(
      `${shortened(text)}: ${row.name} counts from the air or from vacuum, but a difference between two pressures is wanted. Write ${quoted(forms.get("none"))}.`,
    );
  }
  return new UnitError(
    `${shortened(text)}: ${row.name} is ${wordsOf(row.kinds.slice(0, 1))}; expected ${wordsOf(wanted)}, such as ${quoted(exampleOf(wanted))}.`,
  );
}

function siblings(row) {
  return [...known.units.values()].filter(
    (unit) =>
      unit.factor === row.factor &&
      unit.name.slice(0, 2) === row.name.slice(0, 2) &&
      ["pressure", "pressure_difference"].includes(unit.kinds[0]),
  );
}

// The server also names the nearest unit it knows; here the list must do.
function unknown(word, wanted, text) {
  const rows = [...known.units.values()].filter((unit) => wanted.some((kind) => unit.kinds.includes(kind)));
  const own = (unit) => (wanted.includes(unit.kinds[0]) ? 0 : 1);
  rows.sort((a, b) => own(a) - own(b));
  const given = text && text !== word ? `${shortened(text)}: ` : "";
  return new UnitError(`${given}unit ${shortened(word)} is not known; expected ${either(rows.slice(0, 6).map((unit) => unit.name))}.`);
}

function exampleOf(wanted, standard) {
  if (standard) return `3.1 ${standard}`;
  return known.kinds[wanted[0]]?.example ?? "3.1 barg";
}

function wordsOf(wanted) {
  return wanted.filter((kind) => kind in known.kinds).map((kind) => known.kinds[kind].words).join(" or ");
}

function either(words) {
  return words.map(quoted).join(" or ");
}
