// @ts-check
// What the buttons of remedies, of the shortlist and of variants change when they are pressed.

/** @typedef {import("./link.js").Link} Link */

/** How long one is pointed at or has focus before its answer is worked out [ms]. */
const REST = 60;

/**
 * @param {HTMLElement} button
 * @returns {{ do: string, [name: string]: unknown } | null} null where it is of something else
 */
export function changeOf(button) {
  const d = button.dataset;
  if (d.apply) return { do: "set", path: d.apply, typed: d.after };
  if (d.parts) return { do: "parts", names: JSON.parse(d.parts) };
  if (d.variant !== undefined) return { do: "variant", name: d.variant };
  return null;
}

/**
 * What is about to be pressed is told to the server, so that its answer may be there by then.
 * @param {Link} link
 */
export function presses(link) {
  /** @type {number | undefined} */
  let resting;
  /** @param {Event} event */
  function rested(event) {
    clearTimeout(resting);
    const button = event.target instanceof Element ? event.target.closest("button") : null;
    const change = button && button.getAttribute("aria-pressed") !== "true" && changeOf(button);
    if (change) resting = setTimeout(() => link.ahead(change, false), REST);
  }
  document.addEventListener("pointerover", rested);
  document.addEventListener("focusin", rested);
  document.addEventListener("click", () => clearTimeout(resting));
}
