// @ts-check
// The page of one axis: replies become regions; the parts of the page have their own modules.
import { Cursor } from "./cursor.js";
import { Earlier } from "./earlier.js";
import { fields, letGo } from "./fields.js";
import "./find.js";
import { handOver } from "./hand.js";
import { ledger, reopen } from "./ledger.js";
import { Link } from "./link.js";
import { morph } from "./morph.js";
import { order } from "./order.js";
import { phases } from "./phases.js";
import { pins } from "./pins.js";
import { changeOf, presses } from "./presses.js";
import { paper } from "./print.js";
import { rail } from "./rail.js";
import { sorted } from "./shortlist.js";
import { Sight } from "./sight.js";
import { conflict, escape, faults, stale, tell } from "./strip.js";
import { statuses } from "./status.js";
import { openAgain } from "./train.js";
import { variants } from "./variants.js";

/** @typedef {import("./link.js").Reply} Reply */
/** @typedef {import("./link.js").Edit} Edit */

const body = document.body;
/** Parts of the page by name; they stay the same elements. */
const regions = new Map([...document.querySelectorAll("[data-region]")].map(
  (part) => [part.getAttribute("data-region") || "", part]));
const cursor = new Cursor();
const undo = /** @type {HTMLButtonElement} */ (document.getElementById("undo"));
const redo = /** @type {HTMLButtonElement} */ (document.getElementById("redo"));
const link = new Link(String(body.dataset.id), Number(body.dataset.revision), show, told);
link.steps = { undo: Number(body.dataset.undo) || 0, redo: Number(body.dataset.redo) || 0 };

const earlier = new Earlier(link);

/** @type {typeof tell} */
function told(state, text) {
  if (state === "refused") backToKept();
  if (state === "refused" && link.owed) stale(true);
  if (state === "offline" && link.queue.some((edit) => edit.change)) stale(true);
  tell(state, text);
}

/**
 * @param {Reply} reply
 * @param {Edit} edit
 */
function show(reply, edit) {
  if (reply.conflict) {
    backToKept();
    conflict(reply, link);
    return;
  }
  if (link.queue.some((later) => later !== edit && later.ahead)) return;
  body.classList.remove("is-ahead");
  if (reply.revision !== undefined) sight.answered();
  draw(reply, edit);
  sight.later(() => earlier.keep(reply, edit));
  if (reply.revision === undefined) return;
  // While a newer edit waits behind the frame, as in a drag, not everything is saved.
  const all = link.queue.every((later) => later === edit || (later.step && !link.steps[later.step]));
  if (all) tell("saved", reply.typing ? "Typing" : `${body.dataset.kept} ${reply.saved}`);
  hand.refreshed();
}

/** The server did not take an undo or redo that is shown already. */
function backToKept() {
  sight.now();
  const kept = earlier.back();
  body.classList.remove("is-ahead");
  if (kept) draw(kept, { key: "" });
}

/** @param {"undo" | "redo"} step */
function take(step) {
  sight.now();
  const ahead = earlier.ahead(step);
  if (ahead) {
    body.classList.add("is-ahead");
    draw(ahead, { key: "" });
  }
  link.send({ key: "", step, ahead: Boolean(ahead) });
}

/**
 * What a reply brings: at once where it is looked at, elsewhere once no reply follows. A part for
 * which something waits has no digest, so that the server sends it whole.
 * @param {Reply} reply
 * @param {Edit} edit
 */
function draw(reply, edit) {
  /** @type {string[]} */
  const near = [];
  for (const name of Object.keys(reply.regions)) {
    const part = regions.get(name);
    if (!part) continue;
    if (sight.holds(part)) {
      sight.parts.delete(part);
      near.push(name);
    } else {
      part.removeAttribute("data-digest");
      sight.waits(part, () => bring([name], reply, edit));
    }
  }
  bring(near, reply, edit);
  if (reply.revision === undefined) return;
  railed.judged(reply);
  undo.disabled = !reply.undo;
  redo.disabled = !reply.redo;
  faults(reply, edit);
}

/**
 * Parts of the page as a reply has them.
 * @param {string[]} names
 * @param {Reply} reply
 * @param {Edit} edit
 */
function bring(names, reply, edit) {
  if (!names.length) return;
  for (const name of names) {
    const part = /** @type {Element} */ (regions.get(name));
    if (name === "ledger" || name === "short") ordered.bring(part, reply.regions[name], edit);
    else morph(part, reply.regions[name]);
    part.setAttribute("data-digest", reply.digests?.[name] ?? "");
  }
  if (names.includes("ledger") || names.includes("foot")) reopen();
  if (names.includes("train")) openAgain();
  if (names.includes("cycle") || names.includes("plane")) cursor.redraw();
  if (names.includes("cycle")) railed.refreshed();
  if (names.includes("short")) pinned.refreshed();
  beside.refreshed(names.includes("variants"));
}

document.addEventListener("click", (event) => {
  const target = event.target instanceof Element ? event.target.closest("button") : null;
  if (!target) return;
  const d = target.dataset;
  if (d.at) cursor.move(Number(d.at));
  else if (d.parts) link.send({ key: "parts", change: changeOf(target) ?? undefined });
  else if (target === undo) take("undo");
  else if (target === redo) take("redo");
});

document.addEventListener("keydown", (event) => {
  const target = /** @type {HTMLElement} */ (event.target);
  const step = (event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "z";
  if (!step || target.tagName === "TEXTAREA") return;
  event.preventDefault();
  letGo();
  link.owner = null;
  if (target instanceof HTMLInputElement) target.blur();
  (event.shiftKey ? redo : undo).click();
});

window.addEventListener("beforeunload", (event) => {
  if (link.pending) event.preventDefault();
});

// What stands in the top line decides how high it is; nothing focused may lie under it.
const header = /** @type {HTMLElement} */ (document.querySelector("header.top"));
new ResizeObserver(() => {
  document.documentElement.style.setProperty("--top", `${header.offsetHeight}px`);
}).observe(header);

fields(link);
statuses(link);
presses(link);
ledger(link);
phases(link);
const railed = rail(link, cursor);
const hand = handOver(link, escape);
const pinned = pins(link.id);
const beside = variants(link);
const ordered = order();
const sight = new Sight(() => link.pending && !link.paused && !link.wait);
link.away = () => [...regions].filter(([, part]) => !sight.holds(part)).map(([name]) => name);
sorted();
paper();
cursor.redraw();
railed.refreshed();
openAgain();
body.dataset.ready = "yes";
