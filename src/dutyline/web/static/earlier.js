// @ts-check
// Results that were shown, by their revision: undo and redo show them at once, the server confirms.
// Parts of a page are kept as the server sent them, so that their digests stay true.

/** @typedef {import("./link.js").Edit} Edit */
/** @typedef {import("./link.js").Reply} Reply */
/** @typedef {import("./link.js").Link} Link */
/** @typedef {{ html: string, digest: string }} Part */
/** @typedef {{ undo: number, redo: number, faults: Reply["faults"], parts: Map<string, Part> }} State */

const MOST = 50;
/** Characters of all kept results; parts that stayed as they were are counted again. */
const LONGEST = 16_000_000;
const PIECE = /<(tr|span|details|li|p)\b[^>]*\bdata-key="([^"]+)"[^>]*>[^]*?<\/\1>/g;
const SAME = /<(tr|span|details|li|p) data-key="([^"]+)" data-same><\/\1>/g;

export class Earlier {
  /** @param {Link} link */
  constructor(link) {
    this.link = link;
    /** @type {Map<number, State>} */
    this.states = new Map();
    /** The revision that the page shows. */
    this.shown = link.revision;
    /** @type {State} */
    this.here = { ...link.steps, faults: [], parts: drawn() };
    if (!document.querySelector("#strip.bad")) this.states.set(this.shown, this.here);
  }

  /**
   * Keep what a reply brings.
   * @param {Reply} reply
   * @param {Edit} edit
   */
  keep(reply, edit) {
    if (reply.typing) return;
    const parts = new Map(this.here.parts);
    for (const [name, html] of Object.entries(reply.regions)) {
      const whole = filled(html, parts.get(name)?.html || "");
      if (whole) parts.set(name, { html: whole, digest: reply.digests?.[name] ?? "" });
      else parts.delete(name);
    }
    const own = reply.revision ?? this.shown;
    const typedOn = edit.change && own !== this.shown && (reply.undo || 0) !== this.shown;
    if (typedOn) this.states.delete(this.shown);
    const told = reply.revision === undefined ? this.here : reply;
    this.here = { undo: told.undo || 0, redo: told.redo || 0, faults: told.faults, parts };
    this.shown = own;
    this.states.delete(own);
    if (reply.more) return; // the rest of it is on its way
    this.states.set(own, this.here);
    this.#forget();
  }

  /**
   * What undo or redo leads to, as a reply without a number; null where it is not kept, where
   * something waits that has not been shown yet, or where the server does not answer.
   * @param {"undo" | "redo"} step
   */
  ahead(step) {
    const to = this.here[step];
    const { queue, revision, wait } = this.link;
    const next = this.states.get(to);
    if (!next || wait || !this.states.has(revision) || !queue.every((edit) => edit.ahead)) return null;
    if (step === "undo") next.redo = this.shown;
    return this.#go(to, next);
  }

  /** What the server has, where something else is shown. */
  back() {
    const next = this.states.get(this.link.revision);
    if (!next || this.shown === this.link.revision) return null;
    for (const edit of this.link.queue) delete edit.ahead;
    Object.assign(next, this.link.steps);
    return this.#go(this.link.revision, next);
  }

  /**
   * @param {number} to
   * @param {State} next
   */
  #go(to, next) {
    /** @type {Record<string, string>} */
    const regions = {};
    /** @type {Record<string, string>} */
    const digests = {};
    for (const [name, { html, digest }] of next.parts) {
      if (this.here.parts.get(name)?.html === html) continue;
      regions[name] = html;
      digests[name] = digest;
    }
    this.here = { ...next, parts: new Map([...this.here.parts, ...next.parts]) };
    this.shown = to;
    return { number: 0, revision: to, regions, digests, undo: next.undo, redo: next.redo, faults: next.faults };
  }

  /** The oldest give way. */
  #forget() {
    let length = 0;
    const newest = [...this.states].reverse();
    for (const [k, [own, state]] of newest.entries()) {
      for (const { html } of state.parts.values()) length += html.length;
      if (k >= MOST || (length > LONGEST && own !== this.shown)) this.states.delete(own);
    }
  }
}

/** Parts of the page as they came. */
function drawn() {
  /** @type {Map<string, Part>} */
  const parts = new Map();
  for (const live of document.querySelectorAll("[data-region]")) {
    parts.set(live.getAttribute("data-region") || "",
              { html: live.innerHTML, digest: live.getAttribute("data-digest") || "" });
  }
  return parts;
}

/**
 * A part with the pieces that were left out because they stay; empty where one is not known.
 * @param {string} html
 * @param {string} before
 */
function filled(html, before) {
  if (!html.includes(" data-same")) return html;
  const pieces = new Map([...before.matchAll(PIECE)].map(([piece, , key]) => [key, piece]));
  const whole = html.replace(SAME, (left, _, key) => pieces.get(key) ?? left);
  return whole.includes(" data-same") ? "" : whole;
}
