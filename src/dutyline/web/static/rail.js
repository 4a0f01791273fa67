// @ts-check
// The rail of phases under the plots: the end of a block is dragged, arrows move the cursor.

/** @typedef {import("./link.js").Link} Link */
/** @typedef {import("./cursor.js").Cursor} Cursor */

/**
 * @param {Link} link
 * @param {Cursor} cursor
 */
export function rail(link, cursor) {
  /** @type {{ path: string, span: number, x: number, scale: number } | null} */
  let dragged = null;

  /** @param {KeyboardEvent} event */
  function keys(event) {
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
    link.send({ key: `set ${path}`, change: { do: "set", path, typed }, typing: true, instead: link.owner === document.body });
  }

  document.addEventListener("keydown", (event) => {
    const target = /** @type {HTMLElement} */ (event.target);
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
      link.owner = document.body;
    } else if (event.buttons && /** @type {Element} */ (event.target).closest?.(".course .plot")) {
      cursor.pointed(event);
    }
  });
  for (const end of ["pointerup", "pointercancel"]) {
    document.addEventListener(end, () => {
      dragged = null;
      if (link.owner === document.body) link.owner = null;
    });
  }

  placeNames();
  const cycle = /** @type {Element} */ (document.querySelector(".r-cycle"));
  new MutationObserver(placeNames).observe(cycle, { childList: true, subtree: true });
}

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
