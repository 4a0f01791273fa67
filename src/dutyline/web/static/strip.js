// @ts-check
// What the page says of an edit: saved or not, faults at their fields, a conflict to decide.

import { complain, later } from "./complaint.js";

/** @typedef {import("./link.js").Reply} Reply */
/** @typedef {import("./link.js").Edit} Edit */
/** @typedef {import("./link.js").Link} Link */

const saved = /** @type {HTMLElement} */ (document.getElementById("saved"));
const strip = /** @type {HTMLElement} */ (document.getElementById("strip"));
/** Parts that show results. */
const results = document.querySelectorAll("main section:not(.r-train, .r-questions)");

/** @param {string} text */
export function escape(text) {
  const box = document.createElement("span");
  box.textContent = text;
  return box.innerHTML;
}

/**
 * @param {"saving" | "saved" | "offline" | "refused"} state
 * @param {string} text
 */
export function tell(state, text) {
  const said = state === "offline" ? "Not saved" : text;
  // The same words put again would have the browser draw a frame of its own.
  if (saved.textContent !== said) saved.textContent = said;
  if (state === "offline") {
    strip.className = "strip wait";
    strip.innerHTML = `<p>${escape(text)}</p>`;
  }
}

/**
 * Results that are not of what stands in the fields.
 * @param {boolean} on
 */
export function stale(on) {
  for (const part of results) part.classList.toggle("is-stale", on);
}

/**
 * Somebody else changed the axis: their lines, and two ways on.
 * @param {Reply} reply
 * @param {Link} link
 */
export function conflict(reply, link) {
  strip.className = "strip bad";
  strip.innerHTML = `<p>${escape(reply.conflict || "")} Nothing was overwritten.</p>` +
    `<button type="button" class="pin" id="theirs">Take theirs</button>` +
    `<button type="button" class="pin" id="mine">Keep mine</button>` +
    `<pre>${(reply.lines || []).slice(0, 12).map(whose).join("\n")}</pre>`;
  document.getElementById("theirs")?.addEventListener("click", () => {
    link.giveUp();
    location.reload();
  });
  document.getElementById("mine")?.addEventListener("click", () => link.keepMine(Number(reply.head)));
  tell("refused", "Not saved: changed elsewhere");
}

/** A line that differs, with whose it is. @param {string} line */
const whose = (line) => escape(`${line.startsWith("-") ? "theirs" : "mine  "}  ${line.slice(1)}`);

/**
 * @param {Reply} reply
 * @param {Edit} edit
 */
export function faults(reply, edit) {
  const found = reply.faults || [];
  stale(found.length > 0 && !reply.typing);
  if (!found.length) {
    strip.className = "strip is-off";
    strip.textContent = "";
    if (edit.field) complain(edit.field, null);
    return;
  }
  const path = edit.field?.dataset.path;
  const own = found.find((f) => path && f.field.endsWith(path));
  const first = own ?? found[0];
  const said = [first.read, first.remedy].filter(Boolean).join(" ");
  // What another field has been told already is not told at this one too.
  const elsewhere = !own && document.querySelector(`[data-path="${CSS.escape(first.field)}"][aria-invalid]`);
  if (reply.typing) {
    if (edit.field && !elsewhere) later(edit.field, first);
    return;
  }
  if (edit.field) complain(edit.field, elsewhere ? null : first);
  strip.className = "strip bad";
  strip.innerHTML = `<p>Last good result. ${placed(first.field)}${escape(said)}` +
    `${found.length > 1 ? ` And ${found.length - 1} more.` : ""}</p>`;
  strip.querySelector("[data-goto]")?.setAttribute("data-goto", first.field);
}

/**
 * The field that a fault names, as a way to it where it stands on the page.
 * @param {string} path
 */
function placed(path) {
  if (!path) return "";
  const here = document.querySelector(`:is(input, select)[data-path="${CSS.escape(path)}"]`);
  return here ? `<button type="button" class="quiet" data-goto>${escape(path)}</button>: ` : escape(`${path}: `);
}
