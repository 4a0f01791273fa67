// @ts-check
// The order of rows in ledger and shortlist: it stays while somebody types in a field, and while a
// button of the pointer is down; it is put right on leaving the field.
import { morph } from "./morph.js";
import { sorted } from "./shortlist.js";

/** @typedef {import("./link.js").Edit} Edit */
/** @typedef {{ title: string, keys: string[] }} Group */

const FIELD = "input, select, textarea";

export function order() {
  /** How the rows of the ledger would stand. @type {Group[]} */
  let wanted = [];
  /** True while the shortlist is not sorted. */
  let unsorted = false;
  let pressed = false;
  /** A field was left while the pointer was down. */
  let left = false;

  /**
   * Bring one of the two to a new state.
   * @param {Element} live
   * @param {string} html
   * @param {Edit} edit by which it was changed
   */
  function bring(live, html, edit) {
    const sent = document.createElement("template");
    sent.innerHTML = html;
    const [own, next] = [live, sent.content].map((part) => part.querySelector("table"));
    if (own?.matches(".ledger") && next) {
      wanted = groups(next);
      arrange(next, staying(groups(own), wanted));
    } else if (own?.tBodies[0] && next?.tBodies[0]) {
      const keys = rows(own).map(key);
      place(next.tBodies[0], rows(next).sort((a, b) => rank(keys, a) - rank(keys, b)));
    }
    unsorted ||= !live.matches(".r-ledger");
    morph(live, sent.content);
    if (!held(edit)) settle();
    else if (unsorted) sorted(true);
    told();
  }

  /** @param {Edit} edit */
  function held(edit) {
    const field = document.activeElement;
    return pressed || Boolean(field?.matches(FIELD) && (!edit.field || edit.field === field));
  }

  /** Rows go to the places they belong to. */
  function settle() {
    left = false;
    const table = document.querySelector("table.ledger");
    if (table instanceof HTMLTableElement && wanted.length) arrange(table, wanted);
    if (unsorted) sorted();
    unsorted = false;
    told();
  }

  /** The head of the ledger says when its rows stand as they stood before. */
  function told() {
    const table = document.querySelector("table.ledger");
    const late = table && wanted.length && listed(groups(table)) !== listed(wanted);
    const note = document.querySelector(".r-ledger .head .note");
    const said = note?.querySelector(".late");
    if (!late) said?.remove();
    else if (!said) {
      const fresh = document.createElement("span");
      fresh.className = "late";
      fresh.textContent = ", in the order from before this edit until you leave the field";
      note?.append(fresh);
    }
  }

  // What is clicked must not move between press and release.
  document.addEventListener("pointerdown", () => { pressed = true; }, true);
  for (const end of ["pointerup", "pointercancel"]) {
    document.addEventListener(end, () => {
      pressed = false;
      setTimeout(() => { if (left || !document.activeElement?.matches(FIELD)) settle(); });
    }, true);
  }
  document.addEventListener("focusout", (event) => {
    if (!(event.target instanceof Element) || !event.target.matches(FIELD)) return;
    left = true;
    setTimeout(() => { if (left && !pressed) settle(); });
  });

  return { bring };
}

/** @param {ParentNode} table @returns {HTMLElement[]} */
function rows(table) {
  return [...table.querySelectorAll("tr[data-key]")].map((row) => /** @type {HTMLElement} */ (row));
}

/** @param {HTMLElement} row */
const key = (row) => row.dataset.key || "";

/**
 * Place of a row among others; new ones come last.
 * @param {string[]} keys
 * @param {HTMLElement} row
 */
const rank = (keys, row) => (keys.includes(key(row)) ? keys.indexOf(key(row)) : keys.length);

/** @param {Element} table @returns {Group[]} */
function groups(table) {
  return [...table.querySelectorAll("tbody")].map((body) => ({ title: key(body), keys: rows(body).map(key) }));
}

/** @param {Group[]} found */
const listed = (found) => JSON.stringify(found);

/**
 * Groups as they stand, without the rows that are gone; new rows come to the end of theirs.
 * @param {Group[]} here
 * @param {Group[]} next
 * @returns {Group[]}
 */
function staying(here, next) {
  const known = new Set(here.flatMap((group) => group.keys));
  const left = new Set(next.flatMap((group) => group.keys));
  const found = here.map(({ title, keys }) => ({ title, keys: keys.filter((one) => left.has(one)) }));
  for (const { title, keys } of next) {
    const fresh = keys.filter((one) => !known.has(one));
    const own = found.find((group) => group.title === title);
    if (own) own.keys.push(...fresh);
    else if (fresh.length) found.push({ title, keys: fresh });
  }
  return found.filter((group) => group.keys.length);
}

/**
 * @param {HTMLTableElement} table
 * @param {Group[]} wanted
 */
function arrange(table, wanted) {
  if (listed(groups(table)) === listed(wanted)) return;
  const held = document.activeElement;
  const known = new Map(rows(table).map((row) => [key(row), row]));
  const bodies = wanted.map(({ title, keys }) => {
    const body = [...table.tBodies].find((one) => key(one) === title) || blank(table, title);
    const found = keys.map((one) => known.get(one)).filter((row) => row !== undefined);
    place(body, found.flatMap((row) => [row, ...opened(row)]));
    return body;
  });
  place(table, bodies);
  for (const body of [...table.tBodies]) if (!rows(body).length) body.remove();
  if (held instanceof HTMLElement && table.contains(held)) held.focus({ preventScroll: true });
}

/** The row that opens under another. @param {HTMLElement} row @returns {Element[]} */
function opened(row) {
  const next = row.nextElementSibling;
  return next?.matches(".formula") ? [next] : [];
}

/**
 * A group without rows.
 * @param {HTMLTableElement} table
 * @param {string} title
 */
function blank(table, title) {
  const first = table.tBodies[0];
  const body = /** @type {HTMLTableSectionElement} */ (first.cloneNode(false));
  body.dataset.key = title;
  const head = first.rows[0].cloneNode(true);
  /** @type {HTMLTableRowElement} */ (head).cells[0].textContent = title;
  body.append(head);
  table.append(body);
  return body;
}

/**
 * Children in this order; the one with focus does not move.
 * @param {Element} parent
 * @param {Element[]} nodes
 */
function place(parent, nodes) {
  if (!nodes.length) return;
  const fixed = nodes.findIndex((n) => n.parentNode === parent && n.contains(document.activeElement));
  const pivot = Math.max(0, fixed);
  if (nodes[pivot].parentNode !== parent) parent.append(nodes[pivot]);
  for (let n = pivot - 1; n >= 0; n -= 1) {
    if (nodes[n].nextElementSibling !== nodes[n + 1]) parent.insertBefore(nodes[n], nodes[n + 1]);
  }
  for (let n = pivot + 1; n < nodes.length; n += 1) {
    if (nodes[n - 1].nextElementSibling !== nodes[n]) nodes[n - 1].after(nodes[n]);
  }
}
