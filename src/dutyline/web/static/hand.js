// @ts-check
// Files in and out: exports with progress, the axis file as text, revisions, opening another file.

/** @typedef {import("./link.js").Link} Link */

const LARGEST = 1_000_000;

/**
 * @param {Link} link
 * @param {(text: string) => string} escape
 */
export function handOver(link, escape) {
  const said = /** @type {HTMLElement} */ (document.getElementById("handed"));
  const stop = /** @type {HTMLButtonElement} */ (document.getElementById("stop-export"));
  /** @type {AbortController | null} */
  let running = null;

  document.addEventListener("click", (event) => {
    const button = event.target instanceof Element ? event.target.closest("button") : null;
    if (!button) return;
    if (button.dataset.export) void take(button.dataset.export);
    else if (button === stop) running?.abort();
    else if (button.dataset.restore) {
      link.send({ key: "", to: Number(button.dataset.restore) });
      setTimeout(history_, 400);
    } else if (button.id === "take-text") void takeText();
  });

  /** @param {string} what */
  async function take(what) {
    running?.abort();
    const own = new AbortController();
    running = own;
    stop.hidden = false;
    const began = performance.now();
    const clock = setInterval(() => {
      said.textContent = `Writing ${what}, ${Math.round((performance.now() - began) / 1000)} s`;
    }, 500);
    said.textContent = `Writing ${what}`;
    try {
      const answer = await fetch(`/axis/${link.id}/export/${what}`, { signal: own.signal });
      if (!answer.ok) {
        const told = await answer.json();
        said.textContent = `Not written: ${told.faults?.[0]?.read || told.error}`;
        return;
      }
      const name = /filename="([^"]+)"/.exec(answer.headers.get("content-disposition") || "")?.[1] || what;
      const place = URL.createObjectURL(await answer.blob());
      const anchor = document.createElement("a");
      anchor.href = place;
      anchor.download = name;
      anchor.click();
      setTimeout(() => URL.revokeObjectURL(place), 10_000);
      said.textContent = `Wrote ${name}.`;
    } catch (error) {
      const gone = error instanceof DOMException && error.name === "AbortError";
      said.textContent = gone ? "Cancelled; nothing was written." : "Not written: the server does not answer.";
    } finally {
      clearInterval(clock);
      if (running === own) {
        running = null;
        stop.hidden = true;
      }
    }
  }

  const asText = /** @type {HTMLDetailsElement} */ (document.getElementById("as-text"));
  const text = /** @type {HTMLTextAreaElement} */ (document.getElementById("file-text"));
  const textSaid = /** @type {HTMLElement} */ (document.getElementById("text-said"));

  async function readText() {
    const answer = await fetch(`/axis/${link.id}/text`);
    const told = await answer.json();
    if (document.activeElement !== text) text.value = told.text;
    textSaid.textContent = `Revision ${told.revision}; comments are kept.`;
  }

  async function takeText() {
    link.send({ key: "text", change: { do: "text", text: text.value } });
    textSaid.textContent = "Taken; what stands against it is told above.";
  }

  const past = /** @type {HTMLDetailsElement} */ (document.getElementById("history"));

  async function history_() {
    if (!past.open) return;
    const answer = await fetch(`/axis/${link.id}/revisions`);
    const box = document.getElementById("revisions");
    if (answer.ok && box) box.innerHTML = await answer.text();
  }

  asText.addEventListener("toggle", () => asText.open && void readText());
  past.addEventListener("toggle", () => void history_());

  /** @param {File} file */
  async function open(file) {
    if (file.size > LARGEST) {
      said.textContent = `${file.name} is larger than 1 MB; an axis file has a few kB.`;
      return;
    }
    const answer = await fetch("/open", {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify({ file: file.name, text: await file.text() }),
    });
    const told = await answer.json();
    if (answer.ok) {
      location.href = `/axis/${told.axis}`;
      return;
    }
    const strip = /** @type {HTMLElement} */ (document.getElementById("strip"));
    strip.className = "strip bad";
    const faults = (told.faults || []).slice(0, 4).map((/** @type {{place: string, read: string}} */ f) =>
      `<br>${escape(f.place)}: ${escape(f.read)}`);
    strip.innerHTML = `<p>${escape(file.name)} was not opened. ${faults.join("")}</p>`;
  }

  document.getElementById("pick")?.addEventListener("change", (event) => {
    const picked = /** @type {HTMLInputElement} */ (event.target).files?.[0];
    if (picked) void open(picked);
  });
  document.addEventListener("dragover", (event) => event.preventDefault());
  document.addEventListener("drop", (event) => {
    event.preventDefault();
    const dropped = event.dataTransfer?.files[0];
    if (dropped) void open(dropped);
  });

  return { refreshed: () => { if (asText.open) void readText(); void history_(); } };
}
