// @ts-check
// Where a value comes from: a menu and a note that open in the field; the SI value to the clipboard.
import { tell } from "./strip.js";

/** @typedef {import("./link.js").Link} Link */

/** @param {Link} link */
export function statuses(link) {
  /**
   * @param {HTMLElement} button
   * @param {boolean} wide
   */
  function unfold(button, wide) {
    const box = document.getElementById(String(button.getAttribute("aria-controls")));
    if (!box) return;
    button.setAttribute("aria-expanded", String(wide));
    box.toggleAttribute("hidden", !wide);
    if (wide) /** @type {HTMLElement | null} */ (box.querySelector("[aria-checked=true]"))?.focus();
    else button.focus();
  }

  /**
   * @param {HTMLElement} box
   * @param {string} status
   */
  function send(box, status) {
    const note = box.querySelector("input");
    const path = String(box.dataset.statusOf);
    link.send({ key: `status ${path}`, change: { do: "status", path, status, note: note?.value ?? "" } });
  }

  document.addEventListener("click", (event) => {
    const target = event.target instanceof Element ? event.target.closest("button") : null;
    if (!target) return;
    const box = target.closest("[data-status-of]");
    if (target.matches("[data-status]")) {
      unfold(target, target.getAttribute("aria-expanded") !== "true");
    } else if (target.dataset.copy) {
      const text = target.dataset.copy;
      navigator.clipboard.writeText(text).then(
        () => tell("saved", `Copied ${text}`),
        () => tell("refused", "The browser does not let this page copy"),
      );
    } else if (target.dataset.take && box instanceof HTMLElement) {
      send(box, target.dataset.take);
      const opener = document.querySelector(`[aria-controls="${CSS.escape(box.id)}"]`);
      if (opener instanceof HTMLElement) unfold(opener, false);
    }
  });

  document.addEventListener("change", (event) => {
    const field = event.target;
    const box = field instanceof HTMLInputElement && field.dataset.note ? field.closest("[data-status-of]") : null;
    if (box instanceof HTMLElement) send(box, box.querySelector("[aria-checked=true]")?.getAttribute("data-take") || "given");
  });

  document.addEventListener("keydown", (event) => {
    const target = /** @type {HTMLElement} */ (event.target);
    const opener = target.closest("[data-status]");
    if (opener instanceof HTMLElement && event.key === "ArrowDown") {
      event.preventDefault();
      unfold(opener, true);
      return;
    }
    const box = target.closest("[data-status-of]");
    if (!box) return;
    if (event.key === "Escape") {
      const own = document.querySelector(`[aria-controls="${CSS.escape(box.id)}"]`);
      if (own instanceof HTMLElement) unfold(own, false);
      return;
    }
    const items = [...box.querySelectorAll("[data-take]")];
    const at = items.indexOf(target);
    const steps = { ArrowDown: 1, ArrowRight: 1, ArrowUp: -1, ArrowLeft: -1 };
    const by = steps[/** @type {keyof typeof steps} */ (event.key)];
    if (at < 0 || !by) return;
    event.preventDefault();
    /** @type {HTMLElement} */ (items[(at + by + items.length) % items.length]).focus();
  });
}
