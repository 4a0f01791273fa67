// @ts-check
// One moment of the cycle, shown in the plots over time, in the plane and in the numbers beside.

import { remember, told } from "./address.js";

const SVG = "http://www.w3.org/2000/svg";
const THIN = "\u202f";

/** @typedef {{ left: number, right: number, duration: number, peak: number, width: number, height: number,
 *   panels: { top: number, bottom: number, low: number, high: number }[], time: number[], speed: number[],
 *   torque: number[], power: number[], causes: { name: string, label: string, fill: string, values: number[] }[],
 *   decimals: { speed: number, torque: number, power: number }, below: string[][], returned: string }} Frame */

export class Cursor {
  constructor() {
    /** @type {number | null} */
    this.time = told("at") ? Number(told("at")) || 0 : null;
    /** @type {number | undefined} */
    this.kept = undefined;
  }

  /** Draw anew after the plots changed. */
  redraw() {
    const holder = document.querySelector("[data-course]");
    if (!(holder instanceof HTMLElement)) return;
    /** @type {Frame} */
    this.frame = { ...JSON.parse(holder.dataset.course || "{}"), ...motion("course-motion") };
    this.plot = holder.querySelector("svg");
    const plane = document.querySelector("[data-plane]");
    this.plane = plane instanceof HTMLElement
      ? { ...JSON.parse(plane.dataset.plane || "{}"), ...motion("plane-motion") } : null;
    this.planeSvg = plane?.querySelector("svg") || null;
    this.move(this.time ?? this.frame.peak, false);
  }

  /**
   * @param {number} time
   * @param {boolean} moved False where only the plots changed.
   */
  move(time, moved = true) {
    const f = this.frame;
    if (!f || !this.plot) return;
    this.time = Math.min(Math.max(time, 0), f.duration);
    const x = f.left + ((f.right - f.left) * this.time) / f.duration;
    const values = [this.#at(f.speed), this.#at(f.torque), this.#at(f.power)];
    const group = layer(this.plot, "cursor");
    const last = f.panels[f.panels.length - 1];
    const parts = [`<path class="cur" d="M${n(x)} ${n(f.panels[0].top)}V${n(last.bottom + 2)}"/>`];
    f.panels.forEach((p, k) => {
      const y = p.bottom - ((p.bottom - p.top) * (values[k] - p.low)) / (p.high - p.low);
      parts.push(`<circle class="curp" cx="${n(x)}" cy="${n(y)}" r="2.4"/>`);
    });
    group.innerHTML = parts.join("");
    this.#read(values);
    this.#inPlane();
    if (!moved) return;
    clearTimeout(this.kept);
    this.kept = setTimeout(() => remember("at", n(/** @type {number} */ (this.time), 4)), 300);
  }

  /** @param {number[]} series */
  #at(series) {
    const f = /** @type {Frame} */ (this.frame);
    const t = /** @type {number} */ (this.time);
    const k = place(f.time, t);
    const a = f.time[k];
    const b = f.time[k + 1] ?? a;
    const share = b > a ? (t - a) / (b - a) : 0;
    return series[k] + ((series[k + 1] ?? series[k]) - series[k]) * share;
  }

  /** @param {number[]} values */
  #read(values) {
    const f = /** @type {Frame} */ (this.frame);
    const box = document.getElementById("reads");
    if (!box) return;
    const d = f.decimals;
    const causes = f.causes
      .map((c) => `<span class="key ${c.name}">${c.label}</span><b>${text(this.#at(c.values), d.torque)}</b>`)
      .reverse();
    const returned = f.returned ? `<span class="key returned">returned</span><b>${f.returned}</b>` : "";
    box.innerHTML =
      `<p class="moment">at ${text(/** @type {number} */ (this.time), 2)} s</p>` +
      part(text(values[0], d.speed), "", f.below[0]) +
      part(text(values[1], d.torque), causes.join(""), f.below[1]) +
      part(text(values[2], d.power), returned, f.below[2]);
  }

  #inPlane() {
    const p = this.plane;
    if (!p || !this.planeSvg) return;
    const k = place(p.time, /** @type {number} */ (this.time));
    const t = /** @type {number} */ (this.time);
    const a = p.time[k];
    const b = p.time[k + 1] ?? a;
    const share = b > a ? (t - a) / (b - a) : 0;
    const mix = (/** @type {number[]} */ s) => s[k] + ((s[k + 1] ?? s[k]) - s[k]) * share;
    const x = p.x[0] + ((p.x[1] - p.x[0]) * (mix(p.speed) - p.x[2])) / (p.x[3] - p.x[2]);
    const y = p.y[0] + ((p.y[1] - p.y[0]) * (mix(p.torque) - p.y[2])) / (p.y[3] - p.y[2]);
    layer(this.planeSvg, "cursor").innerHTML = `<circle class="curp" cx="${n(x)}" cy="${n(y)}" r="3.2"/>`;
  }

  /** @param {MouseEvent} event */
  pointed(event) {
    const f = this.frame;
    if (!f || !this.plot) return;
    const box = this.plot.getBoundingClientRect();
    const x = ((event.clientX - box.left) / box.width) * f.width;
    this.move(((x - f.left) / (f.right - f.left)) * f.duration);
  }
}

/**
 * Samples that follow from the cycle alone.
 * @param {string} key
 */
function motion(key) {
  const held = document.querySelector(`[data-key="${key}"]`);
  return JSON.parse((held instanceof HTMLElement && held.dataset.motion) || "{}");
}

/**
 * Place of the last sample not after a time.
 * @param {number[]} times
 * @param {number} t
 */
function place(times, t) {
  let low = 0;
  let high = times.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (times[middle] <= t) low = middle;
    else high = middle - 1;
  }
  return Math.min(low, Math.max(times.length - 2, 0));
}

/**
 * @param {Element} svg
 * @param {string} name
 */
function layer(svg, name) {
  let group = svg.querySelector(`g.${name}`);
  if (!group) {
    group = document.createElementNS(SVG, "g");
    group.setAttribute("class", name);
    svg.appendChild(group);
  }
  return group;
}

/**
 * @param {string} value
 * @param {string} keys
 * @param {string[]} lines
 */
function part(value, keys, lines) {
  const under = lines.map((line) => `<span class="under">${line}</span>`).join("");
  return `<div class="read"><b class="big">${value}</b>${keys ? `<div class="keys">${keys}</div>` : ""}${under}</div>`;
}

/**
 * A number as pages print it: true minus, thin groups.
 * @param {number} value
 * @param {number} digits
 */
export function text(value, digits) {
  const [whole, rest] = Math.abs(value).toFixed(digits).split(".");
  const grouped = whole.length > 3 ? whole.replace(/\B(?=(\d{3})+$)/g, THIN) : whole;
  const minus = value < 0 && /[1-9]/.test(whole + (rest || "")) ? "\u2212" : "";
  return minus + grouped + (rest ? `.${rest}` : "");
}

/**
 * @param {number} x
 * @param {number} digits
 */
const n = (x, digits = 2) => String(Math.round(x * 10 ** digits) / 10 ** digits);
