// @ts-check
// What is wrong with an entry, told beside its field: in the train, in a question, under the row of a phase.
// Where an entry has two readings a button for each asks which one is meant.

/** @typedef {import("./link.js").Fault} Fault */

const LATE = 1500;
/** @type {number | undefined} */
let waiting;

/**
 * Told once nothing was typed for a while.
 * @param {HTMLElement} field
 * @param {Fault} fault
 */
export function later(field, fault) {
  clearTimeout(waiting);
  waiting = setTimeout(() => complain(field, fault), LATE);
}

/**
 * The complaint that waits is about a text that is typed on; readings of that text are no choice any more.
 * @param {HTMLElement} field
 */
export function typedOn(field) {
  clearTimeout(waiting);
  document.getElementById(`${field.id}-a`)?.remove();
}

/**
 * @param {HTMLElement} field
 * @param {Fault | null} fault null takes the complaint away
 */
export function complain(field, fault) {
  clearTimeout(waiting);
  const text = fault ? [fault.read, fault.remedy].filter(Boolean).join(" ") : "";
  const asked = fault?.field.endsWith(field.dataset.path ?? "-") ? (fault.meanings ?? []) : [];
  if (fault) field.setAttribute("aria-invalid", "true");
  else field.removeAttribute("aria-invalid");
  const box = field.id && place(field, fault !== null);
  field.title = box ? "" : text;
  if (!box) return;
  const owner = field.closest(".field, .questions li") ?? box;
  for (const marked of [owner, field]) marked.classList.toggle("is-ask", asked.length > 0);
  owner.classList.toggle("is-bad", fault !== null && !asked.length);
  const note = part(box, `${field.id}-e`, "err");
  if (owner === box && box.matches("li, .field")) note.setAttribute("role", "alert");
  note.textContent = text;
  note.hidden = !text;
  described(field, note.id, fault !== null);
  const group = document.getElementById(`${field.id}-a`);
  const shown = [...(group?.querySelectorAll("button") ?? [])].map((button) => button.dataset.meant);
  if (shown.join("\n") === asked.join("\n")) return; // one of them may be pressed just now
  group?.remove();
  if (asked.length) ask(part(box, `${field.id}-a`, "ask"), field, asked);
}

/**
 * Where a complaint stands; made where it is needed and not there.
 * @param {HTMLElement} field
 * @param {boolean} needed
 * @returns {Element | null}
 */
function place(field, needed) {
  const near = field.closest(".field, .questions li");
  const row = field.closest("tr[data-row]");
  if (near || !row) return near;
  const key = `said-${row.getAttribute("data-key")?.replace("row-", "")}`;
  const next = row.nextElementSibling;
  if (next?.getAttribute("data-key") === key) return next.firstElementChild;
  if (!needed) return null;
  const made = document.createElement("tr");
  made.className = "said";
  made.dataset.key = key;
  const cell = made.insertCell();
  cell.colSpan = row.children.length;
  row.after(made);
  return cell;
}

/**
 * @param {Element} box
 * @param {string} id
 * @param {string} kind
 */
function part(box, id, kind) {
  const there = document.getElementById(id);
  if (there) return there;
  const made = document.createElement("p");
  made.id = id;
  made.className = kind;
  box.append(made);
  return made;
}

/**
 * @param {HTMLElement} group
 * @param {HTMLElement} field
 * @param {string[]} meanings
 */
function ask(group, field, meanings) {
  group.setAttribute("role", "group");
  group.setAttribute("aria-label", `Which is meant by ${named(field)}`);
  group.replaceChildren("Which is meant? ");
  for (const meaning of meanings) {
    const button = document.createElement("button");
    button.type = "button";
    button.dataset.meant = meaning;
    button.dataset.for = field.id;
    button.textContent = meaning;
    group.append(button, " ");
  }
}

/** @param {HTMLElement} field */
function named(field) {
  const label = field instanceof HTMLInputElement ? field.labels?.[0]?.textContent : "";
  return field.getAttribute("aria-label") || label || "";
}

/**
 * @param {HTMLElement} field
 * @param {string} id
 * @param {boolean} on
 */
function described(field, id, on) {
  const ids = new Set((field.getAttribute("aria-describedby") ?? "").split(" ").filter(Boolean));
  if (on) ids.add(id);
  else ids.delete(id);
  if (ids.size) field.setAttribute("aria-describedby", [...ids].join(" "));
  else field.removeAttribute("aria-describedby");
}
