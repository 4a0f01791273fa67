// @ts-check
// The shortlist sorted by a column; the order lives in the address. P pins the row that has focus.
import { remember, told } from "./address.js";

/** @typedef {"" | "ascending" | "descending"} Way */
/** @type {Way[]} */
const WAYS = ["ascending", "descending", ""];
const [column, way] = told("sort").split(" ");
let by = column || "";
let order = /** @type {Way} */ (WAYS.includes(/** @type {Way} */ (way)) ? way : "");

/**
 * Sort again after the rows were drawn anew.
 * @param {boolean} [keep] the rows stay where they are, the heads say how they will be sorted
 */
export function sorted(keep) {
  const heads = [...document.querySelectorAll(".picks thead th")];
  const place = heads.findIndex((head) => head.getAttribute("data-column") === by);
  for (const [k, head] of heads.entries()) {
    const own = k === place && order;
    if (own) head.setAttribute("aria-sort", order);
    else head.removeAttribute("aria-sort");
    const sign = head.querySelector(".way");
    if (sign) sign.textContent = own ? { ascending: "\u2191", descending: "\u2193", "": "" }[order] : "";
  }
  const table = document.querySelector(".picks tbody");
  if (!table || keep) return;
  const rows = [...table.querySelectorAll("tr")];
  const first = (/** @type {Element} */ row) => Number(row.getAttribute("data-rank"));
  const value = (/** @type {Element} */ row) => row.children[place]?.getAttribute("data-value") || "";
  rows.sort((a, b) => {
    const [one, two] = place < 0 || !order ? ["", ""] : [value(a), value(b)];
    if (one === two) return first(a) - first(b);
    if (!one || !two) return one ? -1 : 1;
    const more = Number.isNaN(Number(one)) ? one.localeCompare(two) : Number(one) - Number(two);
    return order === "ascending" ? more : -more;
  });
  const held = document.activeElement;
  table.append(...rows);
  if (held instanceof HTMLElement && table.contains(held)) held.focus();
}

document.addEventListener("click", (event) => {
  const button = event.target instanceof Element ? event.target.closest(".picks thead button") : null;
  const name = button?.closest("th")?.getAttribute("data-column");
  if (!name) return;
  order = name === by ? WAYS[(WAYS.indexOf(order) + 1) % WAYS.length] : WAYS[0];
  by = name;
  remember("sort", order ? `${by} ${order}` : "");
  sorted();
});

document.addEventListener("keydown", (event) => {
  const target = /** @type {HTMLElement} */ (event.target);
  if (!target.closest(".picks") || event.ctrlKey || event.altKey || event.metaKey) return;
  const key = event.key.toLowerCase();
  const own = key === "p" ? target.closest("tbody tr")?.querySelector("[data-pin]")
    : key === "s" ? target.closest("thead th")?.querySelector("button") : null;
  if (own instanceof HTMLElement) own.click();
});
