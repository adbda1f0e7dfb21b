// How people write numbers and units, as on the server (unit_text.py): marks, groups, fractions,
// swings. A test holds both against each other.

export const LONGEST = 80;

export class UnitError extends Error {}

const VULGAR = { "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8" };
const SAME = [
  [/[\u2212\u2010\u2011\ufe63\uff0d]/g, "-"],
  [/[\u2012\u2013\u2014]/g, "–"],
  [/[\u00a0\u202f\u2009\u2007\u2002\u2003\t\n\r]/g, " "],
  [/[º˚]/g, "°"],
  [/[µμ]/g, "u"],
  [/[’‘´`′]/g, "'"],
  [/[“”″]/g, '"'],
  [/[×∙⋅]/g, "·"],
  [/²/g, "2"],
  [/³/g, "3"],
  [/⁻/g, "-"],
  [/¹/g, "1"],
  [/℃/g, "°C"],
  [/℉/g, "°F"],
  [/[⁄∕]/g, "/"],
];
const PLAIN = "(?:[0-9]+(?:[.,'][0-9]+| [0-9]{3}(?![0-9]))*[.,]?|[.,][0-9]+)(?:[eE][-+]?[0-9]+)?";
const FRACTION = "(?:[0-9]+[ ]+)?[0-9]+ ?/ ?[0-9]+";
const NUMBER = new RegExp(`^[-+]? ?(?:${FRACTION}|${PLAIN})(?![0-9])`);
const BETWEEN = /\s*(?:\bto\b|\buntil\b|\.\.\.?|…|–|-)\s*/gi;

export function tidy(text) {
  let made = text;
  for (const [sign, plain] of Object.entries(VULGAR)) made = made.replaceAll(sign, ` ${plain} `);
  for (const [signs, plain] of SAME) made = made.replace(signs, plain);
  return made.split(/\s+/).filter(Boolean).join(" ");
}

export function squeeze(word) {
  return tidy(word).replaceAll("°", "deg").replace(/[ ().^*·_-]/g, "");
}

// Writes a text in quotes, the way the server's messages do.
export function quoted(text) {
  const mark = text.includes("'") && !text.includes('"') ? '"' : "'";
  const plain = text.replaceAll("\\", "\\\\").replaceAll("\n", "\\n").replaceAll("\r", "\\r").replaceAll("\t", "\\t");
  const safe = plain.replace(/[\p{C}\p{Z}]/gu, (sign) => (sign === " " ? sign : escaped(sign)));
  return mark + (mark === "'" ? safe.replaceAll("'", "\\'") : safe) + mark;
}

function escaped(sign) {
  const code = sign.codePointAt(0).toString(16);
  if (code.length <= 2) return `\\x${code.padStart(2, "0")}`;
  return code.length <= 4 ? `\\u${code.padStart(4, "0")}` : `\\U${code.padStart(8, "0")}`;
}

export function shortened(text) {
  const signs = [...text];
  return quoted(signs.length <= 40 ? text : `${signs.slice(0, 37).join("")}...`);
}

// Splits an entry into one or two pairs of number and unit word, still as text.
export function splitEntry(text, example, isUnit) {
  const signs = [...text];
  if (signs.length > LONGEST) {
    throw new UnitError(`'${signs.slice(0, 30).join("")}...' has ${signs.length} characters; expected a short text, as ${quoted(example)}.`);
  }
  const clean = tidy(text);
  if (!clean) throw new UnitError(`Nothing was entered; expected a number with its unit, as ${quoted(example)}.`);
  const [number, rest] = numberIn(clean);
  if (!number) throw new UnitError(`${quoted(text)} has no number to read; write it as ${quoted(example)}.`);
  if (!rest || isUnit(rest)) return [[number, rest]];
  return two(number, rest) ?? [[number, unitWord(text, rest, example)]];
}

function two(first, rest) {
  for (const between of rest.matchAll(BETWEEN)) {
    const [second, unit] = numberIn(rest.slice(between.index + between[0].length));
    if (second && !numberIn(unit)[0]) return [[first, rest.slice(0, between.index).trim()], [second, unit]];
  }
  return undefined;
}

function numberIn(text) {
  const found = NUMBER.exec(text);
  return found ? [found[0], text.slice(found[0].length).trim()] : ["", text];
}

function unitWord(text, rest, example) {
  if ("0123456789.,'".includes(rest[0]) && !rest.startsWith("1/")) {
    throw new UnitError(`${quoted(text)}: more than one number; write one such as ${quoted(example)}.`);
  }
  return rest;
}

// Reads a number as it was written; the rules stand at the head of the server's units.py.
export function numberOf(text, number, { thousands, unit }) {
  const sign = number.startsWith("-") ? -1 : 1;
  const bare = number.replace(/^[+\- ]+/, "");
  if (bare.includes("/")) return sign * fraction(text, bare);
  const [digits, power] = bare.replaceAll("E", "e").split("e");
  const plain = decimal(text, digits, { thousands, unit });
  return sign * Number(power === undefined ? plain : `${plain}e${power}`);
}

function fraction(text, bare) {
  const parts = bare.replace(/ ?\/ ?/g, "/").split(" ").filter(Boolean);
  const [top, bottom] = parts.pop().split("/");
  if (Number(bottom) === 0) throw new UnitError(`${quoted(text)}: nothing can be divided by 0; write it as '2 1/2 in'.`);
  return Number(parts.pop() ?? 0) + Number(top) / Number(bottom);
}

function decimal(text, digits, { thousands, unit }) {
  const plain = digits.replace(/[ ']/g, "");
  const last = Math.max(plain.lastIndexOf(","), plain.lastIndexOf("."));
  if (last < 0) return plain;
  const mark = plain[last];
  const other = mark === "," ? "." : ",";
  const head = plain.slice(0, last);
  const tail = plain.slice(last + 1);
  if (head.includes(mark)) return grouped(text, plain, mark);
  if (head.includes(other)) return `${grouped(text, head, other)}.${tail}`;
  if (mark === "," && tail.length === 3 && head.length >= 1 && head.length <= 3 && /[^0]/.test(head)) {
    return oneComma(text, head, tail, { thousands, unit });
  }
  return `${head}.${tail}`;
}

function oneComma(text, head, tail, { thousands, unit }) {
  if (thousands) return head + tail;
  const write = `'${head}${tail} ${unit}' or '${head}.${tail} ${unit}'`;
  throw new UnitError(`${quoted(text)}: ${head},${tail} may mean ${head}${tail} or ${head}.${tail}. Write ${write}.`);
}

function grouped(text, digits, mark) {
  const [first, ...groups] = digits.split(mark);
  const good = first.length >= 1 && first.length <= 3 && groups.every((group) => /^[0-9]{3}$/.test(group));
  if (!good) throw new UnitError(`${quoted(text)}: the marks in ${digits} part no thousands; write digits only.`);
  return first + groups.join("");
}
