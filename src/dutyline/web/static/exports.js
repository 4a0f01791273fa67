// @ts-check
// A file on its way: the stages as the server tells them, the bytes behind, and how to stop it.

/** @typedef {{stage?: string, step?: number, of?: number, name?: string, kind?: string, bytes?: number, error?: string, faults?: {read: string}[]}} Told */

/** @param {{id: string}} link */
export function exports_(link) {
  const said = /** @type {HTMLElement} */ (document.getElementById("handed"));
  const box = /** @type {HTMLElement} */ (document.getElementById("job"));
  const shown = /** @type {HTMLElement} */ (document.getElementById("job-said"));
  const bar = /** @type {HTMLProgressElement} */ (document.getElementById("job-bar"));
  const stop = /** @type {HTMLButtonElement} */ (document.getElementById("stop-export"));
  /** @type {AbortController | null} */
  let running = null;

  document.addEventListener("click", (event) => {
    const button = event.target instanceof Element ? event.target.closest("button") : null;
    if (button?.dataset.export) void take(button, button.dataset.export);
    else if (button && button === stop) running?.abort();
  });
  box.addEventListener("keydown", (event) => {
    if (event.key === "Escape") running?.abort();
  });

  /** @param {string} text */
  function say(text) {
    said.textContent = text;
    shown.textContent = text;
  }

  /**
   * @param {HTMLButtonElement} button
   * @param {string} what
   */
  async function take(button, what) {
    const words = button.getAttribute("aria-label") || button.textContent || what;
    if (running) {
      said.textContent = `One file is being written; cancel it, or take ${words} behind it.`;
      return;
    }
    const own = new AbortController();
    running = own;
    box.hidden = false;
    bar.removeAttribute("value");
    say(`${words}: asked for.`);
    let last = "";
    try {
      const answer = await fetch(`/axis/${link.id}/export/${what}`, { method: "POST", signal: own.signal });
      if (!answer.ok || !answer.body) {
        const told = /** @type {Told} */ (await answer.json());
        last = `Not written: ${told.faults?.[0]?.read || told.error}`;
        return;
      }
      const found = await read(answer.body.getReader(), (told) => {
        bar.max = told.of || 1;
        bar.value = (told.step || 1) - 1;
        say(`${words}: ${(told.stage || "").toLowerCase()}, step ${told.step} of ${told.of}`);
      });
      if (found.blob) {
        save(found.blob, found.told.name || what);
        last = `Wrote ${found.told.name}, ${Math.ceil(found.blob.size / 1000)} kB.`;
      } else last = `Not written: ${found.told.faults?.[0]?.read || found.told.error || "the server stopped."}`;
    } catch (error) {
      const gone = error instanceof DOMException && error.name === "AbortError";
      last = gone ? "Cancelled; nothing was written." : "Not written: the server does not answer.";
    } finally {
      running = null;
      if (box.contains(document.activeElement)) button.focus();
      box.hidden = true;
      say(last);
    }
  }

  return { busy: () => running !== null };
}

/**
 * Lines until one tells how many bytes follow.
 * @param {ReadableStreamDefaultReader<Uint8Array>} reader
 * @param {(told: Told) => void} stage
 * @returns {Promise<{told: Told, blob: Blob | null}>}
 */
async function read(reader, stage) {
  const decoder = new TextDecoder();
  let held = new Uint8Array(0);
  for (;;) {
    const { done, value } = await reader.read();
    if (done) return { told: {}, blob: null };
    const joined = new Uint8Array(held.length + value.length);
    joined.set(held);
    joined.set(value, held.length);
    held = joined;
    for (let end = held.indexOf(10); end >= 0; end = held.indexOf(10)) {
      const told = /** @type {Told} */ (JSON.parse(decoder.decode(held.subarray(0, end))));
      held = held.slice(end + 1);
      if (told.error) return { told, blob: null };
      if (told.bytes !== undefined) return { told, blob: await rest(reader, held, told) };
      stage(told);
    }
  }
}

/**
 * @param {ReadableStreamDefaultReader<Uint8Array>} reader
 * @param {Uint8Array} first
 * @param {Told} told
 */
async function rest(reader, first, told) {
  /** @type {BlobPart[]} */
  const parts = [new Uint8Array(first)];
  let count = first.length;
  for (;;) {
    const { done, value } = await reader.read();
    if (done) break;
    parts.push(new Uint8Array(value));
    count += value.length;
  }
  return count === told.bytes ? new Blob(parts, { type: told.kind }) : null;
}

/**
 * @param {Blob} blob
 * @param {string} name
 */
function save(blob, name) {
  const place = URL.createObjectURL(blob);
  const anchor = document.createElement("a");
  anchor.href = place;
  anchor.download = name;
  anchor.click();
  setTimeout(() => URL.revokeObjectURL(place), 10_000);
}
