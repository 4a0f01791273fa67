// @ts-check
// The rail of phases under the plots: the cursor moves over it, ends are dragged for another time,
// blocks for another place.
import { shift } from "./phases.js";

/** @typedef {import("./link.js").Link} Link */
/** @typedef {{ do: string, path: string, typed: string }} Change */
/** @typedef {import("./link.js").Reply} Reply */
/** @typedef {import("./cursor.js").Cursor} Cursor */

/** How near an end is an end, and how far a block has to be dragged to be moved [px]. */
const NEAR = 8;
const FAR = 6;
const SHORTEST = 0.001;
/** Without an answer, the time that was dragged stands in its block by itself [ms]. */
const LATE = 100;
/** To which times are rounded that are dragged [s]. */
const GRID = 0.01;

/**
 * @param {Link} link
 * @param {Cursor} cursor
 */
export function rail(link, cursor) {
  /** @type {{ kind: "end" | "start" | "place", block: HTMLElement, x: number, scale: number, whole: number,
   *           old: number, other: number, mark: number, moved: boolean, by: number, last: number, change: Change | null, back: string, key: string } | null} */
  let drag = null;
  /** Where focus goes once the phases stand in their new order; none: -1. */
  let awaited = -1;
  /** @type {number | undefined} */
  let unsaid;

  /** @param {KeyboardEvent} event */
  function keys(event) {
    const f = cursor.frame;
    const block = event.target instanceof Element ? /** @type {HTMLElement | null} */ (event.target.closest(".pb")) : null;
    if (!f || !block) return;
    const all = blocks();
    const here = all.indexOf(block);
    const arrow = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
    const plain = !event.altKey && !event.ctrlKey && !event.metaKey;
    const place = Number(block.dataset.place);
    if (arrow && event.ctrlKey && event.shiftKey) {
      if (shift(link, place, arrow) !== place) awaited = here + arrow;
    } else if (arrow && event.ctrlKey) stand(all[here + arrow]);
    else if (arrow && event.altKey) stretch(block, arrow * (event.shiftKey ? 0.001 : 0.01));
    else if (arrow && plain) go((cursor.time ?? 0) + arrow * (event.shiftKey ? 0.001 : 0.01));
    else if (event.key === "Home" && plain) go(0);
    else if (event.key === "End" && plain) go(f.duration);
    else if (event.key === "Delete" && plain && all.length > 1) {
      awaited = Math.max(0, here - 1);
      link.send({ key: "", change: { do: "remove-phase", number: place } });
    } else if (event.key.toLowerCase() === "d" && plain) {
      awaited = here + 1;
      link.send({ key: "", change: { do: "copy-phase", number: place } });
    } else if (event.key === "Enter") {
      /** @type {HTMLElement | null} */ (document.querySelector(`[data-row="${place}"] .pname`))?.focus();
    } else return;
    event.preventDefault();
  }

  /** @param {number} time */
  function go(time) {
    cursor.move(time);
    const block = at(cursor.time ?? 0);
    tabbed(block);
    block?.focus({ preventScroll: true });
  }

  /** The cursor at the start of a phase. @param {HTMLElement | undefined} block */
  function stand(block) {
    if (!block) return;
    cursor.move(Number(block.dataset.start));
    tabbed(block);
    block.focus({ preventScroll: true });
  }

  /**
   * @param {HTMLElement} block
   * @param {number} by
   */
  function stretch(block, by) {
    const path = block.dataset.path;
    if (!path) return;
    const span = Number(block.dataset.span);
    /** @param {number} time */
    const change = (time) => ({ do: "set", path, typed: seconds(time) });
    link.owner = null;
    const next = () => ({ change: change(span + 2 * by), instead: false });
    link.send({ key: `set ${path}`, change: change(span + by), next });
  }

  /**
   * The times that a dragged end comes to, by the block.
   * @param {number} by [s]
   * @returns {[HTMLElement, number][] | null} null where one of them cannot be set
   */
  function times(by) {
    if (!drag) return null;
    const own = drag.block;
    const before = blocks()[blocks().indexOf(own) - 1];
    /** @type {[HTMLElement, number][]} */
    const found = [];
    if (drag.kind === "start" && (before?.dataset.stated || !own.dataset.stated)) found.push([before, drag.other + by]);
    if (drag.kind === "end" || own.dataset.stated) found.push([own, drag.old + (drag.kind === "end" ? by : -by)]);
    return found.some(([block]) => !block.dataset.path) ? null : found;
  }

  /** The change that a drag makes as it stands; it is sent at once and once more when let go. */
  function told() {
    if (!drag || !drag.change) return;
    const next = () => {
      const parts = drag && times(drag.by + Math.sign(drag.by - drag.last) * GRID);
      return parts ? { change: change(parts), instead: true } : null;
    };
    link.send({ key: drag.key, change: drag.change, typing: true, instead: drag.moved, dragged: true, next });
    drag.moved = true;
  }

  /** @param {PointerEvent} event */
  function pulled(event) {
    if (!drag) return;
    const by = Math.round(((event.clientX - drag.x) * drag.scale) / GRID) * GRID;
    const own = drag.block;
    if (drag.kind === "place") {
      if (!drag.moved && Math.abs(event.clientX - drag.x) < FAR) return;
      drag.moved = true;
      own.classList.add("is-lifted");
      own.style.transform = `translateX(${event.clientX - drag.x}px)`;
      dropAt(gap(event.clientX, own), own);
      return;
    }
    const parts = by === drag.by ? null : times(by);
    if (!parts) return;
    clearTimeout(unsaid);
    unsaid = setTimeout(() => {
      for (const [block, time] of parts) saidIn(block, seconds(time));
    }, LATE);
    if (!drag.change) drag.back = parts.map(([block]) => standing(String(block.dataset.path))).join(", ");
    drag.change = change(parts);
    drag.key = `set ${drag.change.path}`;
    [drag.last, drag.by] = [drag.by, by];
    told();
  }

  /** @param {PointerEvent} event */
  function released(event) {
    const done = drag;
    drag = null;
    document.querySelector(".rail")?.classList.remove("is-dragged");
    document.querySelector(".rail .old")?.remove();
    document.querySelector(".rail .drop")?.remove();
    if (!done) return;
    done.block.classList.remove("is-lifted", "is-bad");
    const said = document.getElementById("rail-said");
    if (said) said.textContent = "";
    done.block.style.transform = "";
    if (event.type === "pointercancel") {
      clearTimeout(unsaid);
      if (done.change) {
        // What stands in its block may be what was dragged: the server sends the rail whole.
        done.block.closest("[data-region]")?.removeAttribute("data-digest");
        link.send({ key: done.key, change: { ...done.change, typed: done.back }, instead: true });
      }
      placed();
      return;
    }
    if (done.kind !== "place") {
      if (done.change) link.send({ key: done.key, change: done.change, instead: true });
      placed();
      return;
    }
    if (!done.moved) {
      momentAt(event.clientX);
      return;
    }
    const all = blocks();
    const here = all.indexOf(done.block);
    const target = gap(event.clientX, done.block);
    const to = target > here ? target - 1 : target;
    if (to === here) return;
    awaited = to;
    const change = { do: "move-phase", number: Number(done.block.dataset.place), to: Number(all[to].dataset.place) };
    link.send({ key: "", change });
  }

  /** @param {number} x */
  function momentAt(x) {
    const box = document.querySelector(".rail")?.getBoundingClientRect();
    const f = cursor.frame;
    if (box && f) go(((x - box.left) / box.width) * f.duration);
  }

  document.addEventListener("keydown", (event) => {
    const target = /** @type {HTMLElement} */ (event.target);
    if (event.key === "Escape" && drag) released(new PointerEvent("pointercancel"));
    if (target.closest(".rail")) keys(event);
  });

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
    if (!event.isPrimary || !(holder instanceof HTMLElement) || !f || event.button) return;
    const found = under(event.clientX);
    if (!found) return;
    const box = holder.getBoundingClientRect();
    const [kind, block] = found;
    const old = Number(block.dataset.span);
    const end = Number(block.dataset.start) + (kind === "end" ? old : 0);
    const before = blocks()[blocks().indexOf(block) - 1];
    drag = { kind, block, x: event.clientX, scale: f.duration / box.width, whole: f.duration, old, moved: false,
             other: Number(before?.dataset.span), mark: (100 * end) / f.duration, by: 0, last: 0, change: null, back: "", key: "" };
    link.owner = null;
    if (kind !== "place") {
      holder.classList.add("is-dragged");
      placed();
      const parts = times(GRID);
      if (parts) link.ahead(change(parts), false);
    }
    holder.setPointerCapture(event.pointerId);
    event.preventDefault();
  });

  document.addEventListener("pointermove", (event) => {
    if (drag) pulled(event);
    else if (event.buttons && /** @type {Element} */ (event.target).closest?.(".course .plot")) cursor.pointed(event);
  });
  for (const end of ["pointerup", "pointercancel"]) {
    document.addEventListener(end, (event) => drag && released(/** @type {PointerEvent} */ (event)));
  }
  document.addEventListener("moment", () => tabbed(at(cursor.time ?? 0)));

  /** Blocks at their places; while an end is dragged the scale stays, so that the end keeps to the pointer. */
  function placed() {
    const whole = drag ? drag.whole : Number(document.querySelector(".rail")?.getAttribute("data-duration"));
    for (const block of blocks()) {
      block.style.left = `${(100 * Number(block.dataset.start)) / whole}%`;
      block.style.width = `${(100 * Number(block.dataset.span)) / whole}%`;
    }
    const holder = document.querySelector(".rail");
    if (drag && drag.kind !== "place" && holder instanceof HTMLElement) mark(holder, "old", drag.mark);
  }

  function refreshed() {
    clearTimeout(unsaid);
    placed();
    if (awaited >= 0 && blocks()[awaited]) stand(blocks()[awaited]);
    else tabbed(at(cursor.time ?? 0));
    awaited = -1;
  }

  /**
   * While an end is dragged: why the time cannot be used.
   * @param {Reply} reply
   */
  function judged(reply) {
    if (!drag || drag.kind === "place") return;
    const first = reply.faults?.[0];
    drag.block.classList.toggle("is-bad", Boolean(first));
    const said = document.getElementById("rail-said");
    if (said) said.textContent = first ? [first.read, first.remedy].filter(Boolean).join(" ") : "";
  }

  refreshed();
  return { refreshed, judged };
}

/** @returns {HTMLElement[]} */
function blocks() {
  return [...document.getElementsByClassName("pb")].map((block) => /** @type {HTMLElement} */ (block));
}

/** The phase of a moment. @param {number} time */
function at(time) {
  const all = blocks();
  return all.find((b) => time < Number(b.dataset.start) + Number(b.dataset.span) - 1e-9) || all[all.length - 1];
}

/** One of the blocks is reached by Tab. @param {HTMLElement | undefined} block */
function tabbed(block) {
  for (const one of blocks()) one.tabIndex = one === block ? 0 : -1;
}

/**
 * What a pointer takes hold of.
 * @param {number} x
 * @returns {["end" | "start" | "place", HTMLElement] | null}
 */
function under(x) {
  const all = blocks();
  for (const [k, block] of all.entries()) {
    const box = block.getBoundingClientRect();
    const reach = Math.min(NEAR, box.width / 3);
    if (block.dataset.path && x > box.right - reach && x < box.right + 3) return ["end", block];
    if (x < box.left || x > box.right) continue;
    const shared = k > 0 && (block.dataset.path || all[k - 1].dataset.path);
    return [shared && x < box.left + reach ? "start" : "place", block];
  }
  return null;
}

/**
 * In front of which block a dragged one would stand; behind all: their number.
 * @param {number} x
 * @param {HTMLElement} own
 */
function gap(x, own) {
  const all = blocks();
  const found = all.findIndex((block) => {
    const box = block.getBoundingClientRect();
    return block !== own && x < (box.left + box.right) / 2;
  });
  return found < 0 ? all.length : found;
}

/**
 * @param {number} place
 * @param {HTMLElement} own
 */
function dropAt(place, own) {
  const holder = /** @type {HTMLElement} */ (own.parentElement);
  const all = blocks();
  const whole = Number(holder.dataset.duration);
  const time = place < all.length ? Number(all[place].dataset.start) : whole;
  mark(holder, "drop", (100 * time) / whole);
}

/**
 * An upright line over the rail.
 * @param {HTMLElement} holder
 * @param {string} name
 * @param {number} percent
 */
function mark(holder, name, percent) {
  const line = holder.querySelector(`.${name}`) || holder.appendChild(document.createElement("i"));
  line.className = name;
  /** @type {HTMLElement} */ (line).style.left = `${percent}%`;
}

/**
 * @param {HTMLElement} block
 * @param {string} text
 */
function saidIn(block, text) {
  const time = block.querySelector(".pt");
  if (time) time.textContent = text;
}

/** What the file states of a time. @param {string} path */
function standing(path) {
  const field = document.querySelector(`.phases input[data-path="${CSS.escape(path)}"]`);
  return field instanceof HTMLInputElement ? field.defaultValue : "";
}

/**
 * @param {[HTMLElement, number][]} parts
 * @returns {Change}
 */
function change(parts) {
  const typed = parts.map(([, time]) => seconds(time)).join(", ");
  return { do: "set", path: parts.map(([block]) => block.dataset.path).join(", "), typed };
}

/** @param {number} span */
const seconds = (span) => `${String(Math.round(Math.max(span, SHORTEST) * 1000) / 1000)} s`;
