// @ts-check
// What the address keeps of the view: a link shows the same again.

/** @param {string} name */
export function told(name) {
  return new URLSearchParams(location.hash.slice(1)).get(name) || "";
}

/**
 * @param {string} name
 * @param {string} value Nothing is kept of an empty one.
 */
export function remember(name, value) {
  const kept = new URLSearchParams(location.hash.slice(1));
  if (value) kept.set(name, value);
  else kept.delete(name);
  const next = `#${kept}`;
  if (next !== location.hash) history.replaceState(null, "", next);
}
