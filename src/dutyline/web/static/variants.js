// @ts-check
// Variants: chips that choose, add, rename and take out; a chip under the pointer shows its ghosts.

import { changeOf } from "./presses.js";

/** @typedef {import("./link.js").Link} Link */

const SVG = "http://www.w3.org/2000/svg";

/** @param {Link} link */
export function variants(link) {
  /** The variant that is being renamed; empty while one is added. */
  let renamed = "";
  /** @type {Element | null} */
  let pointed = null;

  /** @param {HTMLElement} chosen */
  function choose(chosen) {
    for (const chip of chips()) chip.setAttribute("aria-pressed", String(chip === chosen));
    link.owner = null;
    link.send({ key: "variant", change: changeOf(chosen) ?? undefined });
    refreshed();
  }

  /** @param {string} name */
  function openNaming(name) {
    renamed = name;
    const form = element("naming");
    const field = /** @type {HTMLInputElement} */ (element("variant-name"));
    form.hidden = false;
    element("add-variant").setAttribute("aria-expanded", "true");
    const submit = form.querySelector("[type=submit]");
    if (submit) submit.textContent = name ? "Rename" : "Add";
    field.value = name;
    field.setAttribute("aria-label", name ? `New name of variant ${name}` : "Name of the variant");
    field.focus();
    field.select();
  }

  function closeNaming() {
    element("naming").hidden = true;
    const add = element("add-variant");
    add.setAttribute("aria-expanded", "false");
    add.focus();
  }

  document.addEventListener("submit", (event) => {
    if (/** @type {Element} */ (event.target).id !== "naming") return;
    event.preventDefault();
    const name = /** @type {HTMLInputElement} */ (element("variant-name")).value.trim();
    if (!name) return;
    if (!renamed) link.send({ key: "", change: { do: "add-variant", name } });
    else if (renamed !== name) link.send({ key: "", change: { do: "rename-variant", name: renamed, to: name } });
    closeNaming();
  });

  document.addEventListener("click", (event) => {
    const button = event.target instanceof Element ? event.target.closest("button") : null;
    if (!button) return;
    const d = button.dataset;
    if (d.variant !== undefined) choose(button);
    else if (button.id === "add-variant") openNaming("");
    else if (button.id === "not-named") closeNaming();
    else if (d.renameVariant) openNaming(d.renameVariant);
    else if (d.removeVariant) link.send({ key: "", change: { do: "remove-variant", name: d.removeVariant } });
    else if (d.keep) link.send({ key: "", change: { do: "keep-parts", names: JSON.parse(d.keep) } });
  });

  document.addEventListener("keydown", (event) => {
    const target = /** @type {HTMLElement} */ (event.target);
    if (target.id === "variant-name" && event.key === "Escape") closeNaming();
    if (!target.matches(".chip") || event.ctrlKey || event.altKey || event.metaKey) return;
    const all = chips();
    const here = all.indexOf(/** @type {HTMLButtonElement} */ (target));
    const own = target.dataset.variant || "";
    const to = { ArrowLeft: here - 1, ArrowRight: here + 1, Home: 0, End: all.length - 1 }[event.key];
    if (to !== undefined) all[Math.min(Math.max(to, 0), all.length - 1)].focus();
    else if (/^[1-9]$/.test(event.key) && all[Number(event.key) - 1]) {
      const chip = all[Number(event.key) - 1];
      chip.focus();
      choose(chip);
    } else if (event.key === "F2" && own) openNaming(own);
    else if (event.key === "Delete" && own) {
      all[Math.max(0, here - 1)].focus();
      link.send({ key: "", change: { do: "remove-variant", name: own } });
    } else return;
    event.preventDefault();
  });

  for (const [on, off] of [["pointerover", "pointerout"], ["focusin", "focusout"]]) {
    document.addEventListener(on, (event) => {
      const chip = event.target instanceof Element ? event.target.closest(".chip") : null;
      if (chip) point(chip);
    });
    document.addEventListener(off, (event) => {
      const chip = event.target instanceof Element ? event.target.closest(".chip") : null;
      if (chip && chip === pointed) point(chip.matches(":focus-visible") ? chip : null);
    });
  }

  /** @param {Element | null} chip */
  function point(chip) {
    pointed = chip;
    for (const old of document.querySelectorAll("g.beside, svg.beside")) old.remove();
    const other = chip instanceof HTMLElement && chip.getAttribute("aria-pressed") !== "true";
    document.body.classList.toggle("pointing", other);
    if (!other) return;
    const d = chip.dataset;
    const duty = document.querySelector(".rug svg");
    if (duty && d.duty) draw(duty, "g", d.duty, "ghost");
    for (const [key, x] of Object.entries(JSON.parse(d.bars || "{}"))) {
      const bar = document.querySelector(`.ledger tr[data-key="${CSS.escape(key)}"] svg.bar`);
      if (bar) draw(bar, "g", `M${x} 1V17`, "ghost");
    }
    loop(d.loop || "");
  }

  /** @param {boolean} [anew] False where the chips stand as they stood. */
  function refreshed(anew = true) {
    const all = anew ? chips() : [];
    for (const chip of all) chip.tabIndex = chip.getAttribute("aria-pressed") === "true" ? 0 : -1;
    if (all.length && !all.some((chip) => chip.tabIndex === 0)) all[0].tabIndex = 0;
    all.find((chip) => chip.tabIndex === 0)?.scrollIntoView({ block: "nearest", inline: "nearest" });
    point(pointed?.isConnected ? pointed : null);
  }

  refreshed();
  return { refreshed };
}

/** @returns {HTMLButtonElement[]} */
function chips() {
  return [...document.querySelectorAll(".chip")].map((chip) => /** @type {HTMLButtonElement} */ (chip));
}

/** @param {string} id */
function element(id) {
  return /** @type {HTMLElement} */ (document.getElementById(id));
}

/**
 * @param {Element} svg
 * @param {string} holder
 * @param {string} letters
 * @param {string} name
 */
function draw(svg, holder, letters, name) {
  const layer = document.createElementNS(SVG, holder);
  layer.setAttribute("class", "beside");
  const path = document.createElementNS(SVG, "path");
  path.setAttribute("class", name);
  path.setAttribute("d", letters);
  layer.appendChild(path);
  svg.appendChild(layer);
  return layer;
}

/**
 * The loop of another variant, cut off at the edges of the plane.
 * @param {string} letters
 */
function loop(letters) {
  const plane = document.querySelector("[data-plane]");
  const svg = plane?.querySelector("svg");
  if (!(plane instanceof HTMLElement) || !svg || !letters) return;
  const { x, y } = JSON.parse(plane.dataset.plane || "{}");
  const layer = draw(svg, "svg", letters, "thin-loop");
  const frame = { x: x[0], y: y[1], width: x[1] - x[0], height: y[0] - y[1] };
  for (const [name, value] of Object.entries(frame)) layer.setAttribute(name, String(value));
  layer.setAttribute("viewBox", `${frame.x} ${frame.y} ${frame.width} ${frame.height}`);
}
