// @ts-check
// Finding a part, field, question or check by its name; "/" opens it from any strip, "?" shows the keys.
import { openPart } from "./train.js";

const MOST = 12;
const box = /** @type {HTMLElement} */ (document.getElementById("find"));
const entry = /** @type {HTMLInputElement} */ (document.getElementById("find-text"));
const list = /** @type {HTMLElement} */ (document.getElementById("found"));
const opener = /** @type {HTMLElement} */ (document.getElementById("find-open"));
const keys = /** @type {HTMLDetailsElement} */ (document.getElementById("keys"));

/** @typedef {{ name: string, what: string, go: () => void }} Place */

/** @type {Place[]} */
let places = [];
/** @type {Place[]} */
let shown = [];
let chosen = 0;
/** @type {HTMLElement | null} */
let from = null;

/** @param {Element | null} one */
function focus(one) {
  if (!(one instanceof HTMLElement)) return;
  one.scrollIntoView({ block: "center" });
  one.focus({ preventScroll: true });
}

/**
 * @param {string} selector
 * @param {string} what
 * @param {(one: Element) => void} go
 * @returns {Place[]}
 */
function every(selector, what, go) {
  return [...document.querySelectorAll(selector)].map((one) => ({
    name: (one.textContent || "").trim().replace(/\s+/g, " "), what, go: () => go(one),
  }));
}

/** @returns {Place[]} */
function collected() {
  return [
    ...every("[data-part] .pn", "part", (one) => {
      openPart(String(one.closest("[data-part]")?.getAttribute("data-part")), false);
      focus(one.closest("button"));
    }),
    ...every("[data-fields] .fl label", "field", (one) => {
      openPart(String(one.closest("[data-fields]")?.getAttribute("data-fields")), false);
      one.closest("details")?.setAttribute("open", "");
      focus(document.getElementById(one.getAttribute("for") || ""));
    }),
    ...every(".phases tbody th", "phase", (one) => focus(one.closest("tr")?.querySelector("input, select, button") || null)),
    ...every(".questions label", "question", (one) => focus(document.getElementById(one.getAttribute("for") || ""))),
    ...every(".ledger button.name", "check", focus),
  ];
}

function open() {
  from = document.activeElement instanceof HTMLElement ? document.activeElement : null;
  places = collected();
  box.hidden = false;
  entry.value = "";
  draw();
  entry.focus();
}

/** @param {boolean} back */
function close(back) {
  box.hidden = true;
  if (back) (from?.isConnected ? from : opener).focus();
}

function draw() {
  const words = entry.value.toLowerCase().split(/\s+/).filter(Boolean);
  const fits = places.filter((p) => words.every((w) => p.name.toLowerCase().includes(w)));
  const starts = (/** @type {Place} */ p) => p.name.toLowerCase().startsWith(words[0]);
  shown = words.length ? [...fits.filter(starts), ...fits.filter((p) => !starts(p))].slice(0, MOST) : [];
  chosen = 0;
  list.replaceChildren(...shown.map((p, k) => {
    const item = document.createElement("li");
    item.id = `found-${k}`;
    item.setAttribute("role", "option");
    const what = document.createElement("span");
    what.className = "mut";
    what.textContent = p.what;
    item.append(p.name, " ", what);
    return item;
  }));
  list.hidden = !shown.length;
  entry.setAttribute("aria-expanded", String(shown.length > 0));
  const said = /** @type {HTMLElement} */ (document.getElementById("find-said"));
  said.textContent = !words.length ? "" : shown.length ? `${shown.length}${fits.length > MOST ? ` of ${fits.length}` : ""} found`
    : "Nothing on this page has that name.";
  mark();
}

function mark() {
  for (const [k, item] of [...list.children].entries()) item.setAttribute("aria-selected", String(k === chosen));
  if (shown.length) entry.setAttribute("aria-activedescendant", `found-${chosen}`);
  else entry.removeAttribute("aria-activedescendant");
}

/** @param {Place | undefined} place */
function take(place) {
  if (!place) return;
  close(false);
  place.go();
}

entry.addEventListener("input", draw);
entry.addEventListener("keydown", (event) => {
  const by = { ArrowDown: 1, ArrowUp: -1 }[event.key];
  if (by && shown.length) {
    chosen = (chosen + by + shown.length) % shown.length;
    mark();
  } else if (event.key === "Enter") take(shown[chosen]);
  else if (event.key === "Escape") close(true);
  else return;
  event.preventDefault();
});
list.addEventListener("click", (event) => {
  const item = event.target instanceof Element ? event.target.closest("li") : null;
  if (item) take(shown[[...list.children].indexOf(item)]);
});
box.addEventListener("focusout", (event) => {
  if (event.relatedTarget instanceof Node && !box.contains(event.relatedTarget)) close(false);
});
opener.addEventListener("click", open);

document.addEventListener("keydown", (event) => {
  const target = /** @type {HTMLElement} */ (event.target);
  if (target.closest("input, select, textarea") || event.ctrlKey || event.altKey || event.metaKey) return;
  if (!target.closest(".variants, .train, .rail, .ledger, .picks, .acts")) return;
  if (event.key === "/") open();
  else if (event.key === "?") {
    keys.open = true;
    focus(keys.querySelector("summary"));
  } else return;
  event.preventDefault();
});
