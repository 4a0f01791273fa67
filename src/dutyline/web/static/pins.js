// @ts-check
// Up to three combinations pinned for comparison; the pins live in the address.
import { remember, told } from "./address.js";

const MOST = 3;

/** @param {string} id */
export function pins(id) {
  /** @type {string[]} */
  let kept = JSON.parse(told("pins") || "[]");
  const box = /** @type {HTMLElement} */ (document.getElementById("compare"));
  const table = /** @type {HTMLElement} */ (document.getElementById("compared"));
  const said = /** @type {HTMLElement} */ (document.getElementById("pinned-said"));

  document.addEventListener("click", (event) => {
    const button = event.target instanceof Element ? event.target.closest("[data-pin]") : null;
    if (!(button instanceof HTMLElement)) return;
    const own = String(button.dataset.pin);
    if (kept.includes(own)) kept = kept.filter((one) => one !== own);
    else if (kept.length < MOST) kept = [...kept, own];
    remember("pins", kept.length ? JSON.stringify(kept) : "");
    mark();
    void draw();
  });

  function mark() {
    for (const button of document.querySelectorAll("[data-pin]")) {
      const own = button.getAttribute("data-pin") || "";
      const on = kept.includes(own);
      button.setAttribute("aria-pressed", String(on));
      button.textContent = on ? "Pinned" : "Pin";
      const name = (button.getAttribute("aria-label") || "").replace(/^Pin(ned)? /, "");
      button.setAttribute("aria-label", `${button.textContent} ${name}`);
      const full = !on && kept.length >= MOST;
      button.toggleAttribute("disabled", full);
      button.setAttribute("title", full ? "Unpin one first" : "");
    }
  }

  let asked = 0;

  async function draw() {
    const own = ++asked;
    box.hidden = kept.length === 0;
    if (kept.length < 2) {
      table.textContent = "";
      said.textContent = "one pinned; pin another to compare";
      return;
    }
    said.textContent = `${kept.length} of ${MOST} pinned; differences only`;
    const answer = await fetch(`/axis/${id}/compare`, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify({ several: kept.map((one) => JSON.parse(one)) }),
    });
    const html = answer.ok ? await answer.text() : "";
    if (own !== asked) return;
    if (answer.ok) table.innerHTML = html;
    else said.textContent = "The axis as it stands cannot be compared.";
  }

  mark();
  if (kept.length) void draw();
  return { refreshed: () => { mark(); if (kept.length > 1) void draw(); } };
}
