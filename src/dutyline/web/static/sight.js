// @ts-check
// What is out of sight is drawn behind the frame that shows what is in sight.

/** Behind the frame, so that it is on the screen by then [ms]. */
const MOMENT = 4;
/** Where no frame comes, as in a page in the background [ms]. */
const LONGEST = 100;

export class Sight {
  constructor() {
    /** @type {WeakSet<Element>} */
    this.away = new WeakSet();
    /** @type {(() => void)[]} */
    this.waiting = [];
    this.watch = new IntersectionObserver((seen) => {
      for (const { target, isIntersecting } of seen) {
        if (isIntersecting) this.away.delete(target);
        else this.away.add(target);
      }
    });
    for (const part of document.querySelectorAll("[data-region]")) this.watch.observe(part);
    window.addEventListener("beforeprint", () => this.now());
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
   */
  later(work) {
    this.waiting.push(work);
    const due = () => { if (this.waiting.includes(work)) this.now(); };
    requestAnimationFrame(() => setTimeout(due, MOMENT));
    setTimeout(due, LONGEST);
  }

  /** What waits is done. */
  now() {
    for (const work of this.waiting.splice(0)) work();
  }
}
