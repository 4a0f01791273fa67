// @ts-check
// The train: one part open at a time; arrows go from part to part.
import { remember, told } from "./address.js";

let opened = told("part") || "load";

/** Open again what was open, after the parts were drawn anew. */
export function openAgain() {
  openPart(opened, false);
}

/**
 * @param {string} part
 * @param {boolean} focus
 */
export function openPart(part, focus) {
  const known = document.querySelector(`[data-fields="${CSS.escape(part)}"]`);
  opened = known ? part : "load";
  for (const group of document.querySelectorAll("[data-fields]")) {
    group.toggleAttribute("hidden", group.getAttribute("data-fields") !== opened);
  }
  for (const item of document.querySelectorAll("[data-part]")) {
    const own = item.getAttribute("data-part") === opened;
    item.classList.toggle("sel", own);
    item.querySelector("button")?.setAttribute("aria-expanded", String(own));
    item.querySelector("button")?.setAttribute("tabindex", own ? "0" : "-1");
  }
  remember("part", opened);
  if (focus) {
    const first = document.querySelector(`[data-fields="${CSS.escape(opened)}"] :is(input, select)`);
    if (first instanceof HTMLElement) first.focus();
  }
}

document.addEventListener("click", (event) => {
  const button = event.target instanceof Element ? event.target.closest("button[data-open]") : null;
  if (button instanceof HTMLElement) openPart(String(button.dataset.open), false);
});

document.addEventListener("keydown", (event) => {
  const target = /** @type {HTMLElement} */ (event.target);
  const part = target.closest("[data-part]");
  if (part && (event.key === "ArrowRight" || event.key === "ArrowLeft")) {
    const next = event.key === "ArrowRight" ? part.nextElementSibling : part.previousElementSibling;
    const button = next?.querySelector("button");
    if (next && button) {
      openPart(String(next.getAttribute("data-part")), false);
      button.focus();
    }
    event.preventDefault();
  } else if (part && event.key === "Enter") {
    event.preventDefault();
    openPart(String(part.getAttribute("data-part")), true);
  }
});

document.addEventListener("click", (event) => {
  const way = event.target instanceof Element ? event.target.closest("[data-goto]") : null;
  const path = CSS.escape(way?.getAttribute("data-goto") ?? "");
  const field = path && document.querySelector(`:is(input, select)[data-path="${path}"]`);
  if (!(field instanceof HTMLElement)) return;
  const part = field.closest("[data-fields]")?.getAttribute("data-fields");
  if (part) openPart(part, false);
  field.closest("details")?.setAttribute("open", "");
  field.focus();
});
