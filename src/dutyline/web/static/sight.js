// @ts-check
// What is out of sight is drawn behind the frame that shows what is in sight.

/** Behind the frame, so that it is on the screen by then [ms]. */
const MOMENT = 4;
/** Where no frame comes, as in a page in the background [ms]. */
const LONGEST = 100;

/**
 * Once the next frame is drawn.
 * @param {number} [moment] later than that [ms]
 * @returns {Promise<void>}
 */
export function behindFrame(moment = 0) {
  return new Promise((drawn) => {
    requestAnimationFrame(() => setTimeout(drawn, moment));
    setTimeout(drawn, LONGEST);
  });
}

export class Sight {
  constructor() {
    /** @type {WeakSet<Element>} */
    this.away = new WeakSet();
    /** @type {Map<() => void, boolean>} What waits, in order; true where it draws. */
    this.waiting = new Map();
    this.watch = new IntersectionObserver((seen) => {
      for (const { target, isIntersecting } of seen) {
        if (isIntersecting) this.away.delete(target);
        else this.away.add(target);
      }
    });
    for (const part of document.querySelectorAll("[data-region]")) this.watch.observe(part);
    window.addEventListener("beforeprint", () => this.now(true));
  }

  /**
   * Whether a part of the page is looked at, or has focus.
   * @param {Element} part
   */
  holds(part) {
    return !this.away.has(part) || part.contains(document.activeElement);
  }

  /**
   * Work for behind the next frame, in order.
   * @param {() => void} work
   * @param {boolean} [draws]
   */
  later(work, draws = false) {
    this.waiting.set(work, draws);
    void behindFrame(MOMENT).then(() => { if (this.waiting.has(work)) this.now(); });
  }

  /**
   * What waits is done.
   * @param {boolean} [drawing] true: only what draws
   */
  now(drawing = false) {
    for (const [work, draws] of [...this.waiting]) {
      if (drawing && !draws) continue;
      this.waiting.delete(work);
      work();
    }
  }
}
