// @ts-check
// Five answers make an axis file; what cannot be understood is told, and nothing is lost.

const form = /** @type {HTMLFormElement} */ (document.getElementById("five"));
const strip = /** @type {HTMLElement} */ (document.getElementById("strip"));

form.addEventListener("submit", async (event) => {
  event.preventDefault();
  const kind = form.querySelector('input[name="kind"]:checked');
  const rest = ["load", "way", "rate", "mains"].map((name) => value(`a-${name}`));
  const answers = [kind instanceof HTMLInputElement ? kind.value : "", ...rest];
  let told;
  try {
    const answer = await fetch("/new", {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify({ answers, words: value("a-words") }),
    });
    told = await answer.json();
    if (answer.ok) {
      location.href = `/axis/${told.axis}`;
      return;
    }
  } catch {
    told = { error: "The server does not answer; what you typed is still here." };
  }
  strip.className = "strip bad";
  strip.textContent = told.faults?.[0]?.read ? `${told.faults[0].read} ${told.faults[0].remedy || ""}` : told.error;
});

/** @param {string} name */
function value(name) {
  const field = document.getElementById(name);
  return field instanceof HTMLInputElement || field instanceof HTMLTextAreaElement ? field.value : "";
}
