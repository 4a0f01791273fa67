// @ts-check
// Brings a part of the page to a new state and touches only what differs, so that focus, caret,
// open rows and scroll places stay where they are.

/**
 * @param {Element} live
 * @param {string | DocumentFragment} wanted what it should hold
 */
export function morph(live, wanted) {
  if (typeof wanted !== "string") {
    children(live, wanted);
    return;
  }
  const parsed = document.createElement("template");
  parsed.innerHTML = wanted;
  children(live, parsed.content);
}

/** What the person opened or chose; the server does not know of it. */
const KEPT = new Set(["hidden", "open", "aria-expanded", "aria-current", "style", "tabindex"]);

/**
 * @param {ParentNode & Node} live
 * @param {ParentNode & Node} wanted
 */
function children(live, wanted) {
  let here = live.firstChild;
  let next = wanted.firstChild;
  while (next) {
    const after = next.nextSibling;
    if (!here) {
      live.appendChild(next);
    } else if (alike(here, next)) {
      one(here, next);
      here = here.nextSibling;
    } else {
      const later = found(here, next);
      if (later) {
        while (here && here !== later) {
          const gone = here;
          here = here.nextSibling;
          live.removeChild(gone);
        }
        one(later, next);
        here = later.nextSibling;
      } else {
        live.insertBefore(next, here);
      }
    }
    next = after;
  }
  while (here) {
    const gone = here;
    here = here.nextSibling;
    live.removeChild(gone);
  }
}

/**
 * @param {Node} a
 * @param {Node} b
 */
function alike(a, b) {
  if (a.nodeType !== b.nodeType || a.nodeName !== b.nodeName) return false;
  return key(a) === key(b);
}

/** @param {Node} node */
function key(node) {
  if (!(node instanceof Element)) return "";
  return node.id || node.getAttribute("data-key") || node.getAttribute("data-field") || "";
}

/**
 * @param {Node} from
 * @param {Node} wanted
 */
function found(from, wanted) {
  if (!key(wanted)) return null;
  let at = from.nextSibling;
  while (at) {
    if (alike(at, wanted)) return at;
    at = at.nextSibling;
  }
  return null;
}

/**
 * @param {Node} live
 * @param {Node} wanted
 */
function one(live, wanted) {
  if (!(live instanceof Element) || !(wanted instanceof Element)) {
    if (live.nodeValue !== wanted.nodeValue) live.nodeValue = wanted.nodeValue;
    return;
  }
  if (wanted.hasAttribute("data-same") || live.isEqualNode(wanted)) return;
  for (const name of wanted.getAttributeNames()) {
    const value = wanted.getAttribute(name) ?? "";
    if (live.getAttribute(name) !== value && !KEPT.has(name)) live.setAttribute(name, value);
  }
  for (const name of live.getAttributeNames()) {
    if (!wanted.hasAttribute(name) && !KEPT.has(name)) live.removeAttribute(name);
  }
  if (live.matches(".err,.odd")) live.toggleAttribute("hidden", wanted.hasAttribute("hidden"));
  if (live instanceof HTMLInputElement && live !== document.activeElement) {
    if (live.value !== wanted.getAttribute("value")) live.value = wanted.getAttribute("value") || "";
  }
  if (live instanceof HTMLSelectElement) {
    children(live, wanted);
    if (live !== document.activeElement) {
      const chosen = wanted instanceof HTMLSelectElement ? wanted.selectedIndex : -1;
      if (chosen >= 0) live.selectedIndex = chosen;
    }
    return;
  }
  children(live, wanted);
}
