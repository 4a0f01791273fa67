// @ts-check
// The ledger: rows open to their formula, lead the cursor to their moment, apply their remedy.

import { changeOf } from "./presses.js";

/** @typedef {import("./link.js").Link} Link */

/** @type {string} */
let axis = "";

/** @param {Link} link */
export function ledger(link) {
  axis = link.id;
  document.addEventListener("click", (event) => {
    const button = event.target instanceof Element ? event.target.closest("button") : null;
    const d = button?.dataset;
    if (!button || !d) return;
    if (d.apply) link.send({ key: "", change: changeOf(button) ?? undefined });
    else if (d.formula) formula(button);
  });
  document.addEventListener("keydown", (event) => {
    const target = /** @type {HTMLElement} */ (event.target);
    if (target.closest(".r-ledger")) keys(event, target);
  });
}

/** @param {HTMLElement} button */
function formula(button) {
  const row = document.getElementById(`f-${button.dataset.formula}`);
  if (!row) return;
  row.hidden = !row.hidden;
  button.setAttribute("aria-expanded", String(!row.hidden));
  reopen();
}

/** Fill the open rows of the ledger with formula, source and inputs. */
export function reopen() {
  for (const row of document.querySelectorAll("tr.formula:not([hidden])")) void fill(row);
}

/** @param {Element} row */
async function fill(row) {
  const cell = row.querySelector("td");
  if (!cell) return;
  try {
    const answer = await fetch(`/axis/${axis}/line/${row.id.slice("f-".length)}`);
    if (answer.ok) cell.innerHTML = await answer.text();
  } catch { /* the strip tells of a server that does not answer */ }
}

/**
 * @param {KeyboardEvent} event
 * @param {HTMLElement} target
 */
function keys(event, target) {
  const rows = [...document.querySelectorAll(".ledger tr[data-key]")];
  const here = rows.findIndex((r) => r.contains(target));
  if (event.key === "ArrowDown" || event.key === "ArrowUp") {
    const next = rows[Math.max(0, here + (event.key === "ArrowDown" ? 1 : -1))];
    const name = next?.querySelector("button.name");
    if (name instanceof HTMLElement) name.focus();
    event.preventDefault();
  } else if (event.key === "a" && here >= 0) {
    rows[here].querySelector("button.apply")?.dispatchEvent(new MouseEvent("click", { bubbles: true }));
  } else if (event.key === "f" && here >= 0) {
    rows[here].querySelector("button.name")?.dispatchEvent(new MouseEvent("click", { bubbles: true }));
  }
}
