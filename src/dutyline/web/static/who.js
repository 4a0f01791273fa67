// @ts-check
// The name under which this browser makes changes; stated once, sent with every edit.

const KEPT = "dutyline-who";
const LONGEST = 60;

/** Empty where nobody stated one. */
export function who() {
  try {
    return (localStorage.getItem(KEPT) || "").slice(0, LONGEST);
  } catch {
    return "";
  }
}

const field = document.getElementById("who");
if (field instanceof HTMLInputElement) {
  field.value = who();
  field.addEventListener("change", () => {
    try {
      localStorage.setItem(KEPT, field.value.trim().slice(0, LONGEST));
    } catch { /* not kept here; the change is made without a name */ }
  });
}
