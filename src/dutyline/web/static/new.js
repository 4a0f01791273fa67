// @ts-check
// A new axis: what is answered is heard and drawn at once; what cannot be understood is told at its
// question, and nothing is lost.
import { morph } from "./morph.js";
import { who } from "./who.js";

/**
 * @typedef {{ name: string, text: string, sample: string, said: string, given: boolean, refused: boolean }} Asked
 */

const TYPING = 200;
const LATE = 1500;
const NAMES = ["load", "way", "rate", "mains"];
const form = /** @type {HTMLFormElement} */ (document.getElementById("five"));
const strip = /** @type {HTMLElement} */ (document.getElementById("strip"));
const saved = /** @type {HTMLElement} */ (document.getElementById("saved"));
/** @type {number | undefined} */
let typing;
/** @type {number | undefined} */
let complaint;
let busy = false;
let again = false;
/** True while the axis is being opened: nothing more is drawn here. */
let leaving = false;
/** What is under way; a page that is left would break it off. */
let drawing = Promise.resolve();
/** Answers with which the axis was refused; each is told of until it changes. @type {Map<string, string>} */
const refused = new Map();

function answers() {
  const kind = form.querySelector('input[name="kind"]:checked');
  return [kind instanceof HTMLInputElement ? kind.value : "", ...NAMES.map((name) => value(`a-${name}`))];
}

/**
 * @param {string} address
 * @param {object} told
 */
async function post(address, told) {
  const answer = await fetch(address, {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify(told),
  });
  return { ok: answer.ok, told: await answer.json() };
}

/** What can be drawn of the answers as they stand; one request at a time, the newest answers win. */
function draw() {
  clearTimeout(typing);
  again = busy;
  if (!busy && !leaving) drawing = drawn();
}

async function drawn() {
  busy = true;
  try {
    do {
      again = false;
      const { ok, told } = await post("/new/draft", { answers: answers() });
      if (ok && !again) shown(told);
      saved.textContent = ok ? "" : told.error;
    } while (again && !leaving);
  } catch {
    saved.textContent = "The server does not answer";
  }
  busy = false;
}

/** @param {{ questions: Asked[], regions: Record<string, string> }} told */
function shown(told) {
  for (const [name, html] of Object.entries(told.regions)) {
    const live = document.querySelector(`[data-region="${name}"]`);
    if (live) morph(live, html);
  }
  clearTimeout(complaint);
  for (const asked of told.questions) {
    const own = element(`a-${asked.name}`);
    own.setAttribute("placeholder", `e.g. ${asked.sample}`);
    const text = form.querySelector(`[data-asked="${asked.name}"] .asked-text`);
    if (text && text.textContent !== asked.text) text.textContent = asked.text;
    const hint = element(`a-${asked.name}-h`);
    const said = asked.refused ? "" : asked.said;
    if (hint.textContent !== said) hint.textContent = said;
    if (refused.get(asked.name) === value(own.id)) continue;
    if (!asked.refused) complain(asked.name, "");
    else if (own !== document.activeElement) complain(asked.name, asked.said);
    else complaint = setTimeout(() => complain(asked.name, asked.said), LATE);
  }
}

/**
 * @param {string} name
 * @param {string} text
 */
function complain(name, text) {
  const box = form.querySelector(`[data-asked="${name}"]`);
  const note = element(`a-${name}-e`);
  box?.classList.toggle("is-bad", Boolean(text));
  if (text) element(`a-${name}`).setAttribute("aria-invalid", "true");
  else element(`a-${name}`).removeAttribute("aria-invalid");
  if (note.textContent !== text) note.textContent = text;
  note.hidden = !text;
}

form.addEventListener("input", (event) => {
  if (event.target === element("a-words")) return;
  clearTimeout(typing);
  clearTimeout(complaint);
  typing = setTimeout(draw, TYPING);
});

form.addEventListener("change", (event) => {
  if (event.target !== element("a-words")) draw();
});

form.addEventListener("submit", async (event) => {
  event.preventDefault();
  leaving = true;
  clearTimeout(typing);
  await drawing;
  let told;
  try {
    const answer = await post("/new", { answers: answers(), words: value("a-words"), who: who() });
    if (answer.ok) {
      location.href = `/axis/${answer.told.axis}`;
      return;
    }
    told = answer.told;
  } catch {
    told = { error: "The server does not answer; what you typed is still here." };
  }
  leaving = false;
  draw();
  const fault = told.faults?.[0];
  const name = String(fault?.field ?? "").replace("site.", "");
  const said = fault?.read ? `${fault.read} ${fault.remedy || ""}`.trim() : told.error;
  if (NAMES.includes(name)) {
    refused.set(name, value(`a-${name}`));
    complain(name, said);
    element(`a-${name}`).focus();
    return;
  }
  strip.className = "strip bad";
  strip.textContent = said;
});

/** @param {string} name */
function element(name) {
  return /** @type {HTMLElement} */ (document.getElementById(name));
}

/** @param {string} name */
function value(name) {
  return /** @type {HTMLInputElement | HTMLTextAreaElement} */ (element(name)).value;
}

// A page that the browser shows again still holds what was typed.
draw();
