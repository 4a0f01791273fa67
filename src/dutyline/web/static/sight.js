// @ts-check
// What is out of sight is drawn once nothing more is under way, what is in sight at once.

/** From the last answer until what waits is done: in a drag the next edit is under way by then [ms]. */
const REST = 80;
/** Behind the frame that shows what is in sight [ms]. */
const BEHIND = 20;
/** Works that wait; more would take long at once. */
const MOST = 30;
/** Where no frame comes, as in a page in the background [ms]. */
const LONGEST = 100;

/**
 * Once the next frame is drawn.
 * @returns {Promise<void>}
 */
export function behindFrame() {
  return new Promise((drawn) => {
    requestAnimationFrame(() => setTimeout(drawn));
    setTimeout(drawn, LONGEST);
  });
}

export class Sight {
  /** @param {() => boolean} busy whether an edit is under way */
  constructor(busy) {
    this.busy = busy;
    /** When an edit was answered last [ms]. */
    this.answer = 0;
    /** @type {WeakSet<Element>} */
    this.away = new WeakSet();
    /** How parts out of sight will be drawn: the newest of each. @type {Map<Element, () => void>} */
    this.parts = new Map();
    /** Work that nobody looks at, in order. @type {(() => void)[]} */
    this.works = [];
    /** @type {number | undefined} */
    this.rest = undefined;
    this.watch = new IntersectionObserver((seen) => {
      for (const { target, isIntersecting } of seen) {
        if (!isIntersecting) this.away.add(target);
        else {
          this.away.delete(target);
          this.draw(target);
        }
      }
    });
    for (const part of document.querySelectorAll("[data-region]")) this.watch.observe(part);
    window.addEventListener("beforeprint", () => this.now());
    document.addEventListener("focusin", (event) => {
      const part = event.target instanceof Element && event.target.closest("[data-region]");
      if (part) this.draw(part);
    });
  }

  /**
   * Whether a part of the page is looked at, or has focus.
   * @param {Element} part
   */
  holds(part) {
    return !this.away.has(part) || part.contains(document.activeElement);
  }

  /**
   * How a part out of sight is drawn; it takes the place of what waits for it.
   * @param {Element} part
   * @param {() => void} drawn
   */
  waits(part, drawn) {
    this.parts.set(part, drawn);
    this.#rests();
  }

  /**
   * A part is drawn as it will stand, if something waits for it.
   * @param {Element} part
   */
  draw(part) {
    const drawn = this.parts.get(part);
    this.parts.delete(part);
    drawn?.();
  }

  /**
   * Work for later, in order.
   * @param {() => void} work
   */
  later(work) {
    this.works.push(work);
    if (this.works.length > MOST) this.works.shift()?.();
    this.#rests();
  }

  /** An edit is answered: another may follow soon. */
  answered() {
    this.answer = performance.now();
  }

  /** What waits is done. */
  now() {
    for (const part of [...this.parts.keys()]) this.draw(part);
    for (const work of this.works.splice(0)) work();
  }

  #rests() {
    clearTimeout(this.rest);
    const left = this.answer + REST - performance.now();
    this.rest = setTimeout(() => (this.busy() ? this.#rests() : this.now()), Math.max(left, this.busy() ? REST : BEHIND));
  }
}
