// @ts-check
// The table of phases: names, kinds, order, and fields that are not stated yet.

/** @typedef {import("./link.js").Link} Link */

/** @param {Link} link */
export function phases(link) {
  /** @param {object} change */
  const send = (change) => {
    link.owner = null;
    link.send({ key: "", change });
  };

  document.addEventListener("click", (event) => {
    const target = event.target instanceof Element ? event.target : null;
    for (const open of document.querySelectorAll("details.change[open]")) {
      if (!target || !open.contains(target)) open.removeAttribute("open");
    }
    const button = target?.closest("button");
    const d = button?.dataset;
    if (!d) return;
    if (d.add) send({ do: "add-phase", after: Number(d.add), kind: d.kind });
    else if (d.copyPhase) send({ do: "copy-phase", number: Number(d.copyPhase) });
    else if (d.earlier) shift(link, Number(d.earlier), -1);
    else if (d.later) shift(link, Number(d.later), 1);
    else if (d.remove) send({ do: "remove-phase", number: Number(d.remove) });
    else return;
    const panel = button?.closest("details");
    panel?.removeAttribute("open");
    panel?.querySelector("summary")?.focus();
  });

  document.addEventListener("change", (event) => {
    const field = event.target;
    if (field instanceof HTMLInputElement && field.dataset.renamePhase) {
      if (field.value.trim() !== field.defaultValue) {
        send({ do: "rename-phase", number: Number(field.dataset.renamePhase), name: field.value });
      }
    } else if (field instanceof HTMLSelectElement && field.dataset.kindOf) {
      send({ do: "phase-kind", number: Number(field.dataset.kindOf), kind: field.value });
    } else if (field instanceof HTMLSelectElement && field.matches("[data-state-also]") && field.value) {
      also(field);
    }
  });

  document.addEventListener("keydown", (event) => {
    const target = /** @type {HTMLElement} */ (event.target);
    const open = target.closest("details.change[open]");
    if (event.key === "Escape" && open && !(target instanceof HTMLInputElement)) {
      open.removeAttribute("open");
      open.querySelector("summary")?.focus();
    } else if (event.key === "Escape" && target instanceof HTMLInputElement && target.dataset.renamePhase) {
      target.value = target.defaultValue;
    } else if (event.key === "Enter" && target instanceof HTMLInputElement && target.dataset.renamePhase) {
      target.dispatchEvent(new Event("change", { bubbles: true }));
    }
  });
}

/**
 * A phase to the place of its neighbour among the phases of the cycle.
 * @param {Link} link
 * @param {number} place
 * @param {number} by
 */
export function shift(link, place, by) {
  const places = [...document.querySelectorAll("[data-row]")].map((row) => Number(row.getAttribute("data-row")));
  const to = places[places.indexOf(place) + by];
  if (to) link.send({ key: "", change: { do: "move-phase", number: place, to } });
  return to || place;
}

/**
 * A field for what was picked, in front of the list it was picked from.
 * @param {HTMLSelectElement} list
 */
function also(list) {
  const picked = list.selectedOptions[0];
  const line = document.createElement("p");
  line.className = "one";
  const label = document.createElement("label");
  label.textContent = picked.textContent;
  const field = document.createElement("input");
  field.id = `also-${list.value.replace(/[. ]/g, "-")}`;
  field.dataset.path = list.value;
  field.autocomplete = "off";
  field.spellcheck = false;
  label.htmlFor = field.id;
  line.append(label, field);
  list.closest("p")?.before(line);
  picked.remove();
  field.focus();
}
