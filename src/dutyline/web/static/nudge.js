// @ts-check
// The last digit of a number in an entry moved by steps. Where that has no plain meaning nothing changes:
// in fractions and mixed numbers, dates, numbers with two readings, powers, and digits that belong to a unit.

/** What may stand before the first number of a value. */
const LEAD = /^\s*(?:(?:about|around|roughly|approx(?:imately)?\.?|circa|ca?\.?|~|≈|±|GD2|WR2)\s*)?[-+\u2212(\s]*[\d.,]/i;
/** Digits in groups of three, or with marks, or plain; an exponent behind. */
const NUMBER = /(?:\d{1,3}(?:([ \u00a0\u2007\u2009\u202f'])\d{3})(?:\1\d{3})*(?!\d)(?:[.,]\d+)?|\d+(?:[.,]\d+)*|(?<![.\d])[.,]\d+)(?:[eE][-+]?\d+)?/g;
/** Digits of a unit: powers, 10^-3, V/1000 rpm, 60 1/min. */
const UNIT = /10\s*\^\s*[-+]?\d+|\^\s*\(?[-+]?\d+|\p{L}-\d+|[\p{L}°%]\s*\/\s*10{0,3}(?=\s*\p{L})|(?<=\d\s+)1(?=\s*\/\s*\p{L})/gu;
/** Fractions and mixed numbers, dates and 12-15, a comma with two readings. */
const FIXED = /(?<![\d.,])\d+(?:[ -]\d+)?\s*\/\s*\d+(?![\d.,])|\d[\d.,]*(?:[-\u2013]\d[\d.,]*)+|(?<![\d.,])[1-9]\d{0,2},\d{3}(?![\d.,])/g;
/** In front of a number that may be negative. */
const FREE = /(?:^\s*(?:about|around|roughly|approx(?:imately)?\.?|circa|ca?\.?|GD2|WR2)?|[(~≈±]|\.\.|\bto\s)\s*([-+\u2212]?)\s*$/i;

/**
 * The number the caret stands in or just behind; the only one where it stands in front of all.
 * @param {string} value as typed
 * @param {number} caret place in it
 * @param {number} by steps
 * @returns {{ value: string, caret: number } | null} null where nothing should change
 */
export function nudged(value, caret, by) {
  if (!LEAD.test(value)) return null;
  const units = spans(value, UNIT);
  const found = spans(value, NUMBER).filter(
    ([a, b]) => !glued(value.slice(0, a)) && !units.some(([c, d]) => a < d && c < b),
  );
  const at = found.findLast(([a]) => a <= caret) ?? (found.length === 1 ? found[0] : undefined);
  if (!at || spans(value, FIXED).some(([c, d]) => at[0] < d && c < at[1])) return null;
  const [start, end] = at;
  const behind = value.slice(end);
  let before = value.slice(0, start);
  const free = FREE.exec(before);
  const minus = free !== null && /[-\u2212]/.test(free[1]);
  const moved = stepped(value.slice(start, end), minus, by);
  if (!moved || (moved.minus && !free) || (moved.zero && /^\s*[x*]/i.test(behind))) return null;
  if (moved.minus !== minus) before = moved.minus ? `${before.replace(/\+\s*$/, "")}-` : before.replace(/[-\u2212]\s*$/, "");
  const text = before + moved.text;
  const ends = /^\s*([\d.]+?)\s*\.\.\s*([\d.]+)/.exec(text + behind);
  if (ends && Number(ends[1]) > Number(ends[2])) return null;
  return { value: text + behind, caret: Math.max(before.length, text.length + caret - end) };
}

/** Whether digits behind this belong to a word: cm2, but not 2x35. @param {string} front */
function glued(front) {
  return /[\p{L}_]$/u.test(front) && !/(?:^|[\d\s)])x$/.test(front);
}

/**
 * @param {string} value
 * @param {RegExp} pattern
 * @returns {[number, number][]} beginnings and ends
 */
function spans(value, pattern) {
  return [...value.matchAll(pattern)].map((hit) => [hit.index, hit.index + hit[0].length]);
}

/**
 * @param {string} number
 * @param {boolean} minus
 * @param {number} by
 * @returns {{ text: string, minus: boolean, zero: boolean } | null}
 */
function stepped(number, minus, by) {
  const [, body, power = ""] = /^(.*?)([eE][-+]?\d+)?$/.exec(number) ?? [];
  const parts = apart(body);
  if (!parts) return null;
  const was = BigInt(parts.whole + parts.part) * (minus ? -1n : 1n);
  const next = was + BigInt(by);
  const digits = String(next < 0n ? -next : next).padStart(parts.part.length + 1, "0");
  const cut = digits.length - parts.part.length;
  const whole = parts.group ? digits.slice(0, cut).replace(/\B(?=(\d{3})+$)/g, parts.group) : digits.slice(0, cut);
  const shown = parts.part ? whole + parts.mark + digits.slice(cut) : whole;
  return { text: shown + power, minus: next < 0n, zero: next === 0n };
}

/**
 * Whole part without groups, decimals, and the marks of both; null where they do not form one number.
 * @param {string} body
 */
function apart(body) {
  const spaced = /^(\d{1,3}(?:([ \u00a0\u2007\u2009\u202f'])\d{3})+)(?:([.,])(\d+))?$/.exec(body);
  if (spaced) return { whole: spaced[1].replace(/\D/g, ""), group: spaced[2], mark: spaced[3] ?? ".", part: spaced[4] ?? "" };
  const marks = body.replace(/\d/g, "");
  if (marks.length < 2) {
    const [whole, part = ""] = body.split(/[.,]/);
    return { whole: whole || "0", group: "", mark: marks || ".", part };
  }
  const last = marks[marks.length - 1];
  const group = marks[0];
  const several = group === last;
  const whole = several ? body : body.slice(0, body.lastIndexOf(last));
  if (!new RegExp(`^\\d{1,3}(?:\\${group}\\d{3})+$`).test(whole)) return null;
  return { whole: whole.replace(/\D/g, ""), group, mark: last, part: several ? "" : body.slice(whole.length + 1) };
}
