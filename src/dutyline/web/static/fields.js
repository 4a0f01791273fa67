// @ts-check
// Fields: while typing what can be read is sent; on leaving whatever stands there.
import { typedOn } from "./complaint.js";
import { nudged } from "./nudge.js";

/** @typedef {import("./link.js").Link} Link */

const TYPING = 60;
/** Last sent from a field. @type {WeakMap<HTMLElement, string>} */
const sent = new WeakMap();
/** In a field before it was typed into. @type {WeakMap<HTMLElement, string>} */
const untouched = new WeakMap();
/** @type {number | undefined} */
let typing;

/** What is being typed is not sent any more: another step takes its place. */
export function letGo() {
  clearTimeout(typing);
}

/** @param {Link} link */
export function fields(link) {
  /**
   * @param {HTMLInputElement | HTMLSelectElement} field
   * @param {boolean} unfinished
   * @param {() => string | undefined} [next] what is likely to stand there after it
   */
  function edited(field, unfinished, next) {
    clearTimeout(typing);
    const now = field.value.trim();
    const stands = field instanceof HTMLInputElement && field.defaultValue === now;
    const told = (sent.get(field) ?? now) === now && !field.hasAttribute("aria-invalid");
    if (stands && told && !link.pending) return;
    const again = link.owner === field;
    link.owner = field;
    sent.set(field, now);
    /** @param {string} typed */
    const change = (typed) => ({ do: "set", path: field.dataset.path, typed });
    link.send({
      key: `set ${field.dataset.path} ${unfinished}`,
      change: change(now),
      typing: unfinished,
      instead: again,
      field,
      next() {
        const typed = field.value.trim() === now && next?.()?.trim();
        return typed ? { change: change(typed), instead: link.owner === field } : null;
      },
    });
  }

  document.addEventListener("input", (event) => {
    const field = event.target;
    if (!(field instanceof HTMLInputElement) || !field.dataset.path) return;
    typedOn(field);
    clearTimeout(typing);
    // Emptied on the way to another value: taking it out would take its status and note along.
    if (!field.value.trim() && untouched.get(field)?.trim()) return;
    if (field.value.trim() !== field.defaultValue) {
      link.ahead({ do: "set", path: field.dataset.path, typed: field.value.trim() }, link.owner === field);
    }
    typing = setTimeout(() => edited(field, true), TYPING);
  });

  document.addEventListener("change", (event) => {
    const field = event.target;
    if (field instanceof HTMLSelectElement && field.dataset.kind) {
      link.send({ key: `part ${field.dataset.kind}`, change: { do: "part", kind: field.dataset.kind, name: field.value } });
    } else if ((field instanceof HTMLInputElement || field instanceof HTMLSelectElement) && field.dataset.path) {
      edited(field, false);
      link.owner = null;
    }
  });

  document.addEventListener("focusin", (event) => {
    const field = event.target;
    if (field instanceof HTMLInputElement && field.dataset.path) untouched.set(field, field.value);
  });

  document.addEventListener("keydown", (event) => {
    const target = event.target;
    if (!(target instanceof HTMLInputElement) || !target.dataset.path) return;
    if (event.key === "Escape") {
      target.value = untouched.get(target) ?? target.defaultValue;
      edited(target, false);
    } else if (event.key === "Enter") {
      edited(target, false);
      link.owner = null;
      untouched.set(target, target.value);
    } else if (event.key === "ArrowUp" || event.key === "ArrowDown") {
      const by = (event.key === "ArrowUp" ? 1 : -1) * (event.shiftKey ? 10 : 1);
      const stepped = () => nudged(target.value, target.selectionStart ?? target.value.length, by);
      const next = stepped();
      event.preventDefault();
      if (next) {
        target.value = next.value;
        target.setSelectionRange(next.caret, next.caret);
        edited(target, true, () => stepped()?.value);
      }
    }
  });

  document.addEventListener("click", (event) => {
    const meant = event.target instanceof Element ? event.target.closest("button[data-meant]") : null;
    if (meant instanceof HTMLElement) {
      const asked = document.getElementById(String(meant.dataset.for));
      if (asked instanceof HTMLInputElement) {
        asked.value = String(meant.dataset.meant);
        asked.closest("details")?.setAttribute("open", "");
        asked.focus();
        edited(asked, false);
        link.owner = null;
      }
    }
  });
}
