// @ts-check
// Edits to the server: one in flight, the newest state of every field wins, nothing typed is lost.
import { behindFrame } from "./sight.js";
import { who } from "./who.js";

/**
 * @typedef {{ change?: object, to?: number, step?: "undo" | "redo", typing?: boolean, instead?: boolean,
 *             key: string, field?: HTMLElement | null, mark?: string, ahead?: boolean,
 *             next?: () => Guess | null, dragged?: boolean }} Edit
 *   dragged: another edit follows in any case, at the latest when it is let go
 * @typedef {{ change: object, instead: boolean }} Guess what is likely to be sent after an edit
 * @typedef {{ number: number, revision?: number, undo?: number | null, redo?: number | null,
 *             digests?: Record<string, string>, saved?: string, typing?: boolean, faults?: Fault[], effect?: string,
 *             more?: boolean, later?: boolean, regions: Record<string, string>, conflict?: string, head?: number, lines?: string[],
 *             error?: string }} Reply
 * @typedef {{ place: string, field: string, read: string, remedy: string, meanings?: string[] }} Fault
 */

/** Parts of the page; they stay the same elements. */
const PARTS = document.querySelectorAll("[data-region]");

export class Link {
  /**
   * @param {string} id
   * @param {number} revision
   * @param {(reply: Reply, edit: Edit) => void} show
   * @param {(state: "saving" | "saved" | "offline" | "refused", text: string) => void} tell
   */
  constructor(id, revision, show, tell) {
    this.id = id;
    this.revision = revision;
    this.show = show;
    this.tell = tell;
    this.number = 0;
    /** @type {Edit[]} */
    this.queue = [];
    this.busy = false;
    this.wait = 0;
    /** Revisions to which undo and redo lead; 0 where there is none. */
    this.steps = { undo: 0, redo: 0 };
    /** True while somebody has to decide between two states; edits wait. */
    this.paused = false;
    /** True once the running undo step has a revision. */
    this.kept = false;
    /** What the running undo step belongs to. @type {HTMLElement | null} */
    this.owner = null;
    /** True while the second line of the last answer has not come. */
    this.owed = false;
    /** Names of the parts of the page that are out of sight. @type {() => string[]} */
    this.away = () => [];
  }

  /**
   * An edit waits behind the one in flight and takes the place of an older one of the same field.
   * @param {Edit} edit
   */
  send(edit) {
    const last = this.queue.length - 1;
    const waits = last >= (this.busy ? 1 : 0);
    if (waits && edit.key && this.queue[last].key === edit.key) {
      this.queue[last] = { ...edit, instead: this.queue[last].instead };
    } else {
      this.queue.push(edit);
    }
    void this.#run();
  }

  /**
   * Somebody else changed the axis: what waits is sent upon their state.
   * @param {number} head
   */
  keepMine(head) {
    this.revision = head;
    this.paused = false;
    void this.#run();
  }

  /** Somebody else changed the axis: what waits is given up. */
  giveUp() {
    this.queue = [];
    this.paused = false;
  }

  /**
   * What is being typed, or the next step of a key or a drag, told before it is sent, so that its
   * answer may be there by then. Nothing is kept of it, and it does not matter whether it arrives.
   * @param {object} change
   * @param {boolean} again
   */
  ahead(change, again) {
    if (!this.pending) this.#guess({ change, instead: again });
  }

  /**
   * What will be sent next as far as can be told, so that it is worked out while the page is drawn.
   * @param {Edit} edit the one that is answered
   */
  #announce(edit) {
    const waits = this.queue.find((later) => later !== edit);
    if (!waits) {
      const guess = edit.next?.();
      if (guess) this.#guess(guess);
    } else if (waits.change) this.#guess({ change: waits.change, instead: Boolean(waits.instead) });
  }

  /** @param {Guess} guess */
  #guess({ change, instead }) {
    if (this.paused || this.wait) return;
    fetch(`/axis/${this.id}/ahead`, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify({ base: this.revision, change, instead: instead && this.kept }),
    }).catch(() => undefined);
  }

  get pending() {
    return this.queue.length > 0 || this.busy;
  }

  async #run() {
    if (this.busy || this.paused) return;
    this.busy = true;
    while (this.queue.length && !this.paused) {
      const edit = this.queue[0];
      const to = edit.step ? this.steps[edit.step] : edit.to;
      if (edit.step && !to) {
        this.queue.shift();
        continue;
      }
      this.number += 1;
      edit.mark ||= mark();
      // Going on with a step that was never kept, as it was unfinished, begins one.
      if (!edit.instead) this.kept = false;
      this.tell("saving", "Saving");
      let answer;
      try {
        answer = await fetch(`/axis/${this.id}/edit`, {
          method: "POST",
          headers: { "content-type": "application/json" },
          body: JSON.stringify({
            number: this.number, base: this.revision, change: edit.change, to,
            typing: edit.typing, instead: edit.instead && this.kept, mark: edit.mark, have: held(), who: who(),
            away: edit.dragged ? this.away() : undefined,
          }),
        });
      } catch {
        await this.#rest();
        continue;
      }
      if (answer.status === 409) {
        this.paused = true;
        this.show(await answer.json(), edit);
        break;
      }
      if (await this.#read(answer, edit)) {
        this.wait = 0;
        this.queue.shift();
        // Sent once the answer is drawn: until then the server works it out as it was told.
        if (this.queue.length) await behindFrame();
      } else {
        await this.#rest();
      }
    }
    this.busy = false;
  }

  /** A while without an answer; the edit is sent again under its mark, so that it is made once. */
  async #rest() {
    this.tell("offline", "Not saved: the server does not answer. What you type is kept and sent later; the results are from before.");
    this.wait = Math.min(8000, this.wait ? 2 * this.wait : 500);
    await new Promise((done) => setTimeout(done, this.wait));
  }

  /**
   * @param {Response} answer
   * @param {Edit} edit
   * @returns {Promise<boolean>} false where the answer broke off before it said anything
   */
  async #read(answer, edit) {
    if (!answer.ok) {
      let text = `the server refused it (${answer.status}).`;
      try {
        const told = await answer.json();
        text = told.faults?.[0]?.read || told.error || text;
      } catch { /* no JSON: the status says it */ }
      this.tell("refused", `Not saved: ${text}`);
      return true;
    }
    const reader = answer.body?.getReader();
    if (!reader) return true;
    return new Promise((told) => void this.#drain(reader, edit, told));
  }

  /**
   * The lines of a reply as they come; once all that follows the edit is shown the next may go.
   * @param {ReadableStreamDefaultReader<Uint8Array>} reader
   * @param {Edit} edit
   * @param {(read: boolean) => void} told
   */
  async #drain(reader, edit, told) {
    const decoder = new TextDecoder();
    let kept = "";
    let said = false;
    try {
      for (;;) {
        const { done, value } = await reader.read();
        kept += decoder.decode(value, { stream: !done });
        const lines = kept.split("\n");
        kept = lines.pop() || "";
        for (const line of lines.filter(Boolean)) {
          /** @type {Reply} */
          const reply = JSON.parse(line);
          const first = !said;
          said = true; // made and saved: what is missing of the page comes with the next edit
          if (reply.number === this.number) {
            if (reply.revision) {
              this.kept ||= this.revision !== reply.revision;
              this.revision = reply.revision;
              this.steps = { undo: reply.undo || 0, redo: reply.redo || 0 };
            }
            if (reply.more || !first) this.owed = Boolean(reply.more);
            if (first) this.#announce(edit);
            this.show(reply, edit);
          }
          if (!reply.more || reply.later) told(true);
        }
        if (done) return;
      }
    } catch {
      this.tell("offline", "The server stopped answering; what was saved is saved.");
    } finally {
      told(said);
    }
  }
}

/** Digests of the parts of the page as they stand. */
function held() {
  /** @type {Record<string, string>} */
  const found = {};
  for (const part of PARTS) {
    const digest = part.getAttribute("data-digest");
    if (digest !== null) found[part.getAttribute("data-region") || ""] = digest;
  }
  return found;
}

/** A word by which the server knows an edit again. */
function mark() {
  return Array.from(crypto.getRandomValues(new Uint32Array(3)), (n) => n.toString(36)).join("");
}
