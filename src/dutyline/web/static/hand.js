// @ts-check
// Files in and out: the axis file as text, revisions, opening another file.

import { exports_ } from "./exports.js";
import { who } from "./who.js";

/** @typedef {import("./link.js").Link} Link */

const LARGEST = 1_000_000;

/**
 * @param {Link} link
 * @param {(text: string) => string} escape
 */
export function handOver(link, escape) {
  const said = /** @type {HTMLElement} */ (document.getElementById("handed"));
  exports_(link);

  document.addEventListener("click", (event) => {
    const button = event.target instanceof Element ? event.target.closest("button") : null;
    if (!button) return;
    if (button.dataset.restore) link.send({ key: "", to: Number(button.dataset.restore) });
    else if (button.id === "take-text") void takeText();
  });

  const asText = /** @type {HTMLDetailsElement} */ (document.getElementById("as-text"));
  const text = /** @type {HTMLTextAreaElement} */ (document.getElementById("file-text"));
  const textSaid = /** @type {HTMLElement} */ (document.getElementById("text-said"));

  async function readText() {
    const answer = await fetch(`/axis/${link.id}/text`);
    const told = await answer.json();
    if (document.activeElement !== text) text.value = told.text;
    textSaid.textContent = `Revision ${told.revision}; comments are kept.`;
  }

  async function takeText() {
    link.send({ key: "text", change: { do: "text", text: text.value } });
    textSaid.textContent = "Taken; what stands against it is told above.";
  }

  const past = /** @type {HTMLDetailsElement} */ (document.getElementById("history"));

  async function history_() {
    if (!past.open) return;
    const answer = await fetch(`/axis/${link.id}/revisions`);
    const box = document.getElementById("revisions");
    if (answer.ok && box) box.innerHTML = await answer.text();
  }

  asText.addEventListener("toggle", () => asText.open && void readText());
  past.addEventListener("toggle", () => void history_());

  /** @param {File} file */
  async function open(file) {
    if (file.size > LARGEST) {
      said.textContent = `${file.name} is larger than 1 MB; an axis file has a few kB.`;
      return;
    }
    const answer = await fetch("/open", {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify({ file: file.name, text: await file.text(), who: who() }),
    });
    const told = await answer.json();
    if (answer.ok) {
      location.href = `/axis/${told.axis}`;
      return;
    }
    const strip = /** @type {HTMLElement} */ (document.getElementById("strip"));
    strip.className = "strip bad";
    const faults = (told.faults || []).slice(0, 4).map((/** @type {{place: string, read: string}} */ f) =>
      `<br>${escape(f.place)}: ${escape(f.read)}`);
    strip.innerHTML = `<p>${escape(file.name)} was not opened. ${faults.join("")}</p>`;
  }

  document.getElementById("pick")?.addEventListener("change", (event) => {
    const picked = /** @type {HTMLInputElement} */ (event.target).files?.[0];
    if (picked) void open(picked);
  });
  document.addEventListener("dragover", (event) => event.preventDefault());
  document.addEventListener("drop", (event) => {
    event.preventDefault();
    const dropped = event.dataTransfer?.files[0];
    if (dropped) void open(dropped);
  });

  return { refreshed: () => { if (asText.open) void readText(); void history_(); } };
}
