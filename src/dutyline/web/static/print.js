// @ts-check
// What only paper needs: every stated input in a table, and the foot of each page.

const LENGTH = 60;

/** @param {string} text */
const quoted = (text) =>
  `"${text.replace(/[^\p{L}\p{N} ·.,:;()/+-]/gu, (c) => `\\${(c.codePointAt(0) ?? 32).toString(16)} `)}"`;

/** @param {string} text */
const clipped = (text) => (text.length > LENGTH ? `${text.slice(0, LENGTH - 1).trimEnd()}…` : text);

export function paper() {
  const feet = new CSSStyleSheet();
  document.adoptedStyleSheets = [...document.adoptedStyleSheets, feet];
  /** @type {HTMLElement | null} */
  let given = null;

  window.addEventListener("beforeprint", () => {
    feet.replaceSync(foot());
    given?.remove();
    given = inputs();
    document.querySelector(".r-train")?.after(given);
  });
  window.addEventListener("afterprint", () => {
    given?.remove();
    given = null;
  });
}

function foot() {
  const d = /** @type {HTMLElement} */ (document.getElementById("foot")).dataset;
  const axis = clipped(d.axis || "");
  const rest = [d.date, d.version, d.checksum].filter(Boolean).join(" · ");
  const face = "font:8pt \"Hyperlegible Next\",sans-serif;color:#444d49;border-top:0.5pt solid #b9c4be;padding-top:1mm;vertical-align:top";
  return `@page{@bottom-left{content:${quoted(axis)};${face}}@bottom-center{content:${quoted(rest)};${face}}` +
    `@bottom-right{content:counter(page) " of " counter(pages);${face}}}`;
}

/** The inputs by part, as they stand in the fields. */
function inputs() {
  const section = document.createElement("section");
  section.className = "on-paper";
  const head = document.createElement("div");
  head.className = "head";
  head.innerHTML = "<h2>Inputs</h2><p class=\"note\">as typed, as read, and where they come from</p>";
  const columns = document.createElement("div");
  columns.className = "on-paper-parts";
  for (const panel of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll(".fields"))) {
    const rows = [...panel.querySelectorAll(":scope > .field[data-field]")];
    if (!rows.length) continue;
    const table = document.createElement("table");
    const caption = table.createCaption();
    caption.textContent = called(panel.dataset.fields || "");
    for (const field of rows) row(table, field);
    columns.append(table);
  }
  section.append(head, columns);
  return section;
}

/**
 * What a part is and its name: ``Motor, XM72``.
 * @param {string} key
 */
function called(key) {
  const whole = document.querySelector(`[data-part="${CSS.escape(key)}"] .pn`);
  const name = [...(whole?.childNodes ?? [])].filter((n) => n instanceof Text).map((n) => n.nodeValue).join("").trim();
  const kind = key.charAt(0).toUpperCase() + key.slice(1).replace("-", " ");
  return name && name !== kind ? `${kind}, ${name}` : kind;
}

/**
 * @param {HTMLTableElement} table
 * @param {Element} field
 */
function row(table, field) {
  const line = table.insertRow();
  const entry = /** @type {HTMLInputElement | HTMLSelectElement | null} */ (field.querySelector("input, select"));
  const picked = entry instanceof HTMLSelectElement ? entry.selectedOptions[0]?.textContent : entry?.value;
  const typed = entry?.value ? picked : "";
  const silent = entry instanceof HTMLInputElement ? entry.placeholder : picked;
  const read = field.querySelector("output")?.textContent || (typed ? "" : silent);
  const texts = [field.querySelector("label")?.firstChild?.textContent, typed, read, field.querySelector(".stat")?.textContent];
  for (const text of texts) line.insertCell().textContent = (text || "").trim();
  line.cells[3].className = `of-${line.cells[3].textContent}`;
}
