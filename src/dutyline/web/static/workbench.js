// @ts-check
// The page of one axis: fields, train, rail, ledger, shortlist. Computes nothing of the axis.
import { Cursor } from "./cursor.js";
import { handOver } from "./hand.js";
import { Link } from "./link.js";
import { morph } from "./morph.js";
import { pins } from "./pins.js";

/** @typedef {import("./link.js").Reply} Reply */
/** @typedef {import("./link.js").Edit} Edit */

const body = document.body;
const cursor = new Cursor();
const saved = /** @type {HTMLElement} */ (document.getElementById("saved"));
const strip = /** @type {HTMLElement} */ (document.getElementById("strip"));
const undo = /** @type {HTMLButtonElement} */ (document.getElementById("undo"));
const redo = /** @type {HTMLButtonElement} */ (document.getElementById("redo"));
const TYPING = 60;
const LATE = 1500;
let opened = new URLSearchParams(location.hash.slice(1)).get("part") || "load";

/** @type {{ refreshed: () => void } | null} */
let hand = null;
/** @type {{ refreshed: () => void } | null} */
let pinned = null;
const link = new Link(String(body.dataset.id), Number(body.dataset.revision), show, tell);
link.steps = { undo: Number(body.dataset.undo) || 0, redo: Number(body.dataset.redo) || 0 };

/**
 * @param {Reply} reply
 * @param {Edit} edit
 */
function show(reply, edit) {
  if (reply.conflict) {
    strip.className = "strip bad";
    strip.innerHTML = `<p>${escape(reply.conflict)} Nothing was overwritten.</p>` +
      `<button type="button" class="quiet" id="theirs">Take theirs</button>` +
      `<button type="button" class="quiet" id="mine">Keep mine</button>` +
      `<pre>${(reply.lines || []).slice(0, 12).map(escape).join("\n")}</pre>`;
    document.getElementById("theirs")?.addEventListener("click", () => {
      link.giveUp();
      location.reload();
    });
    document.getElementById("mine")?.addEventListener("click", () => link.keepMine(Number(reply.head)));
    tell("refused", "Not saved: changed elsewhere");
    return;
  }
  for (const [name, html] of Object.entries(reply.regions)) {
    const live = document.querySelector(`[data-region="${name}"]`);
    if (!live) continue;
    morph(live, html);
    live.setAttribute("data-digest", reply.digests?.[name] ?? "");
  }
  reopen();
  if (reply.regions.train) openPart(opened, false);
  if (reply.regions.cycle || reply.regions.plane) cursor.redraw();
  if (reply.regions.short) pinned?.refreshed();
  if (reply.revision === undefined) return;
  saved.textContent = reply.typing ? "Typing" : `Saved ${reply.saved}`;
  undo.disabled = !reply.undo;
  redo.disabled = !reply.redo;
  faults(reply, edit);
  hand?.refreshed();
}

/**
 * @param {Reply} reply
 * @param {Edit} edit
 */
function faults(reply, edit) {
  const found = reply.faults || [];
  for (const region of document.querySelectorAll("main section")) {
    region.classList.toggle("is-stale", found.length > 0 && !reply.typing &&
      !region.matches(".r-train, .r-questions"));
  }
  if (!found.length) {
    strip.className = "strip is-off";
    strip.textContent = "";
    if (edit.field) complain(edit.field, "");
    return;
  }
  const first = found[0];
  const said = [first.read, first.remedy].filter(Boolean).join(" ");
  if (reply.typing) {
    if (edit.field) later(edit.field, said);
    return;
  }
  if (edit.field) complain(edit.field, said);
  strip.className = "strip bad";
  strip.innerHTML = `<p>Last good result. ${escape(first.field ? `${first.field}: ` : "")}${escape(said)}` +
    `${found.length > 1 ? ` And ${found.length - 1} more.` : ""}</p>`;
}

/** @type {number | undefined} */
let complaint;

/**
 * @param {HTMLElement} field
 * @param {string} text
 */
function later(field, text) {
  clearTimeout(complaint);
  complaint = setTimeout(() => complain(field, text), LATE);
}

/**
 * @param {HTMLElement} field
 * @param {string} text
 */
function complain(field, text) {
  clearTimeout(complaint);
  const box = field.closest(".field");
  field.toggleAttribute("aria-invalid", Boolean(text));
  if (text) field.setAttribute("aria-invalid", "true");
  field.title = box ? "" : text;
  if (!box) return;
  box.classList.toggle("is-bad", Boolean(text));
  const note = box.querySelector(".err");
  if (note instanceof HTMLElement) {
    note.textContent = text;
    note.hidden = !text;
  }
}

/**
 * @param {"saving" | "offline" | "refused"} state
 * @param {string} text
 */
function tell(state, text) {
  saved.textContent = state === "offline" ? "Not saved" : text;
  if (state === "offline") {
    strip.className = "strip wait";
    strip.innerHTML = `<p>${escape(text)}</p>`;
  }
}

/** @param {string} text */
function escape(text) {
  const box = document.createElement("span");
  box.textContent = text;
  return box.innerHTML;
}

// Fields: while typing what can be read is sent; on leaving whatever stands there.

/** Last sent from a field. @type {WeakMap<HTMLElement, string>} */
const sent = new WeakMap();
/** In a field before it was typed into. @type {WeakMap<HTMLElement, string>} */
const untouched = new WeakMap();
/** What the running undo step belongs to. @type {HTMLElement | null} */
let going = null;
/** @type {number | undefined} */
let typing;

/**
 * @param {HTMLInputElement | HTMLSelectElement} field
 * @param {boolean} unfinished
 */
function edited(field, unfinished) {
  clearTimeout(typing);
  const now = field.value.trim();
  const stands = field instanceof HTMLInputElement && field.defaultValue === now;
  const told = (sent.get(field) ?? now) === now && !field.hasAttribute("aria-invalid");
  if (stands && told && !link.pending) return;
  const again = going === field;
  going = field;
  sent.set(field, now);
  link.send({
    key: `set ${field.dataset.path} ${unfinished}`,
    change: { do: "set", path: field.dataset.path, typed: now },
    typing: unfinished,
    instead: again,
    field,
  });
}

document.addEventListener("input", (event) => {
  const field = event.target;
  if (!(field instanceof HTMLInputElement) || !field.dataset.path) return;
  clearTimeout(complaint);
  clearTimeout(typing);
  typing = setTimeout(() => edited(field, true), TYPING);
});

document.addEventListener("change", (event) => {
  const field = event.target;
  if (field instanceof HTMLSelectElement && field.dataset.kind) {
    link.send({ key: `part ${field.dataset.kind}`, change: { do: "part", kind: field.dataset.kind, name: field.value } });
  } else if ((field instanceof HTMLInputElement || field instanceof HTMLSelectElement) && field.dataset.path) {
    edited(field, false);
    going = null;
  }
});

document.addEventListener("focusin", (event) => {
  const field = event.target;
  if (field instanceof HTMLInputElement && field.dataset.path) untouched.set(field, field.value);
});

// Train: one part open at a time.

/**
 * @param {string} part
 * @param {boolean} focus
 */
function openPart(part, focus) {
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

/**
 * @param {string} name
 * @param {string} value
 */
function remember(name, value) {
  const kept = new URLSearchParams(location.hash.slice(1));
  kept.set(name, value);
  history.replaceState(null, "", `#${kept}`);
}

document.addEventListener("click", (event) => {
  const target = event.target instanceof Element ? event.target.closest("button") : null;
  if (!target) return;
  const d = target.dataset;
  if (d.open) openPart(d.open, false);
  else if (d.at) cursor.move(Number(d.at));
  else if (d.apply) link.send({ key: "", change: { do: "set", path: d.apply, typed: d.after } });
  else if (d.parts) link.send({ key: "parts", change: { do: "parts", names: JSON.parse(d.parts) } });
  else if (d.add) link.send({ key: "", change: { do: "add-phase", after: Number(d.add) } });
  else if (d.remove) link.send({ key: "", change: { do: "remove-phase", number: Number(d.remove) } });
  else if (d.variant !== undefined) link.send({ key: "variant", change: { do: "variant", name: d.variant } });
  else if (d.status) status(target);
  else if (d.formula) formula(target);
  else if (target === undo) link.send({ key: "", step: "undo" });
  else if (target === redo) link.send({ key: "", step: "redo" });
});

const NEXT = { given: "measured", measured: "assumed", assumed: "given", calculated: "given" };

/** @param {HTMLElement} button */
function status(button) {
  const now = /** @type {keyof typeof NEXT} */ (button.dataset.now || "given");
  link.send({ key: "", change: { do: "status", path: button.dataset.status, status: NEXT[now] || "given" } });
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
function reopen() {
  for (const row of document.querySelectorAll("tr.formula:not([hidden])")) void fill(row);
}

/** @param {Element} row */
async function fill(row) {
  const cell = row.querySelector("[data-opened]");
  if (!cell) return;
  try {
    const answer = await fetch(`/axis/${link.id}/line/${cell.getAttribute("data-opened")}`);
    if (answer.ok) cell.innerHTML = await answer.text();
  } catch { /* the strip tells of a server that does not answer */ }
}

// Keys: letters work inside their strip only, never in a field.

document.addEventListener("keydown", (event) => {
  const target = /** @type {HTMLElement} */ (event.target);
  const step = (event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "z";
  if (step && target.tagName !== "TEXTAREA") {
    event.preventDefault();
    clearTimeout(typing);
    going = null;
    if (target instanceof HTMLInputElement) target.blur();
    (event.shiftKey ? redo : undo).click();
    return;
  }
  if (target instanceof HTMLInputElement && target.dataset.path) {
    if (event.key === "Escape") {
      target.value = untouched.get(target) ?? target.defaultValue;
      edited(target, false);
    } else if (event.key === "Enter") {
      edited(target, false);
      going = null;
      untouched.set(target, target.value);
    } else if (event.key === "ArrowUp" || event.key === "ArrowDown") {
      const next = nudged(target.value, (event.key === "ArrowUp" ? 1 : -1) * (event.shiftKey ? 10 : 1));
      if (next) {
        event.preventDefault();
        target.value = next;
        edited(target, true);
      }
    }
    return;
  }
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
  } else if (target.closest(".rail")) rail(event);
  else if (target.closest(".r-ledger")) ledger(event, target);
});

/**
 * The last digit of a number moved by steps: 0.6 s to 0.7 s.
 * @param {string} value
 * @param {number} by
 */
export function nudged(value, by) {
  const found = /^(\s*[-+\u2212]?)(\d+)([.,]\d+)?(.*)$/.exec(value);
  if (!found) return "";
  const digits = found[3] ? found[3].length - 1 : 0;
  const number = Number(`${found[1].replace("\u2212", "-").trim()}${found[2]}${found[3] ? found[3].replace(",", ".") : ""}`);
  const next = (number + by / 10 ** digits).toFixed(digits);
  return (found[3]?.startsWith(",") ? next.replace(".", ",") : next) + found[4];
}

/** @param {KeyboardEvent} event */
function rail(event) {
  const f = cursor.frame;
  if (!f) return;
  const by = event.shiftKey ? 0.001 : 0.01;
  const time = cursor.time ?? 0;
  const to = { ArrowLeft: time - by, ArrowRight: time + by, Home: 0, End: f.duration }[event.key];
  if (to === undefined) return;
  event.preventDefault();
  if (event.altKey && event.key.startsWith("Arrow")) stretch(time, event.key === "ArrowRight" ? by : -by);
  else cursor.move(to);
}

/**
 * @param {number} time
 * @param {number} by
 */
function stretch(time, by) {
  for (const block of document.querySelectorAll(".bname")) {
    const b = /** @type {SVGElement} */ (block).dataset;
    const start = Number(b.start);
    const span = Number(b.span);
    if (time >= start && time < start + span && b.path) setTime(b.path, span + by);
  }
}

/**
 * @param {string} path
 * @param {number} span
 */
function setTime(path, span) {
  const typed = `${String(Math.round(Math.max(span, 0.001) * 1000) / 1000)} s`;
  link.send({ key: `set ${path}`, change: { do: "set", path, typed }, typing: true, instead: going === body });
}

/**
 * @param {KeyboardEvent} event
 * @param {HTMLElement} target
 */
function ledger(event, target) {
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

// Rail: the end of a block is dragged; the plots move the cursor.

/** @type {{ path: string, span: number, x: number, scale: number } | null} */
let dragged = null;

document.addEventListener("pointerdown", (event) => {
  const target = /** @type {Element} */ (event.target);
  const plot = target.closest(".course .plot");
  if (plot) {
    cursor.pointed(event);
    plot.setPointerCapture?.(event.pointerId);
    return;
  }
  const holder = target.closest(".rail");
  const f = cursor.frame;
  if (!(holder instanceof HTMLElement) || !f) return;
  const box = /** @type {Element} */ (holder.querySelector(".names")).getBoundingClientRect();
  const time = ((event.clientX - box.left) / box.width) * f.duration;
  const near = (8 / box.width) * f.duration;
  for (const block of document.querySelectorAll(".bname")) {
    const b = /** @type {SVGElement} */ (block).dataset;
    const end = Number(b.start) + Number(b.span);
    if (Math.abs(time - end) <= near && b.path) {
      dragged = { path: b.path, span: Number(b.span), x: event.clientX, scale: f.duration / box.width };
      holder.setPointerCapture(event.pointerId);
      event.preventDefault();
      return;
    }
  }
  cursor.move(time);
});

document.addEventListener("pointermove", (event) => {
  if (dragged) {
    const span = dragged.span + (event.clientX - dragged.x) * dragged.scale;
    setTime(dragged.path, Math.round(span * 100) / 100);
    going = body;
  } else if (event.buttons && /** @type {Element} */ (event.target).closest?.(".course .plot")) {
    cursor.pointed(event);
  }
});
for (const end of ["pointerup", "pointercancel"]) {
  document.addEventListener(end, () => {
    dragged = null;
    if (going === body) going = null;
  });
}

window.addEventListener("beforeunload", (event) => {
  if (link.pending) event.preventDefault();
});

// What stands in the top line decides how high it is; nothing focused may lie under it.
const header = /** @type {HTMLElement} */ (document.querySelector("header.top"));
new ResizeObserver(() => {
  document.documentElement.style.setProperty("--top", `${header.offsetHeight}px`);
}).observe(header);

hand = handOver(link, escape);
pinned = pins(link.id);
placeNames();
cursor.redraw();
openPart(opened, false);
body.dataset.ready = "yes";

/** Names of the phases stand on their blocks. */
function placeNames() {
  const f = /** @type {HTMLElement | null} */ (document.querySelector(".rail"));
  if (!f) return;
  const whole = Number(f.dataset.duration);
  for (const name of document.querySelectorAll(".bname")) {
    const own = /** @type {SVGElement} */ (name);
    own.style.left = `${(100 * Number(own.dataset.start)) / whole}%`;
    own.style.width = `${(100 * Number(own.dataset.span)) / whole}%`;
  }
}
new MutationObserver(placeNames).observe(/** @type {Element} */ (document.querySelector(".r-cycle")), { childList: true, subtree: true });
