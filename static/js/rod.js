/**
 * The rod as a control: a native slider. Arrow keys go from mark to mark, a touch or drag takes the nearest place; the
 * reading says the mark in words. Event: "place" with detail {at_mm} from the left end of the wall.
 */
/** Marks to go by key. */
const STEPS = new Map([
  ["ArrowRight", 1],
  ["ArrowUp", 1],
  ["ArrowLeft", -1],
  ["ArrowDown", -1],
  ["PageUp", 10],
  ["PageDown", -10],
  ["Home", -Infinity],
  ["End", Infinity],
]);

export class Rod extends EventTarget {
  /**
   * @param {HTMLElement} strip holds the drawn rods, the slider and the cursor
   * @param {HTMLElement} reading where the mark is read out
   * @param {import("./types").Mark[]} marks in order of place
   */
  constructor(strip, reading, marks) {
    super();
    this.strip = strip;
    this.reading = reading;
    this.marks = marks;
    this.index = -1;
    this.slider = /** @type {HTMLInputElement} */ (strip.querySelector("input"));
    this.cursor = /** @type {HTMLElement} */ (strip.querySelector("[data-rod-cursor]"));
    this.slider.addEventListener("keydown", (event) => this.#key(event));
    this.slider.addEventListener("input", () => this.goTo(this.#nearest(Number(this.slider.value))));
    new ResizeObserver(() => this.#placeCursor()).observe(strip);
  }

  /** @param {KeyboardEvent} event */
  #key(event) {
    const step = STEPS.get(event.key);
    if (step === undefined) return;
    event.preventDefault();
    this.goTo(Math.min(this.marks.length - 1, Math.max(0, this.index + step)));
  }

  /** Index of the mark that holds a place, or else the nearest edge. @param {number} at_mm from the wall's left end */
  #nearest(at_mm) {
    const away = this.marks.map((mark) => Math.max(mark.at_mm - at_mm, at_mm - mark.until_mm, 0));
    return away.indexOf(Math.min(...away));
  }

  /** @param {number} index of a mark; of none, nothing happens */
  goTo(index) {
    const mark = this.marks[index];
    if (!mark) return;
    this.index = index;
    this.at_mm = (mark.at_mm + mark.until_mm) / 2;
    this.slider.value = String(this.at_mm);
    this.slider.setAttribute("aria-valuetext", mark.words);
    this.reading.textContent = mark.words;
    this.#placeCursor();
    this.dispatchEvent(new CustomEvent("place", { detail: { at_mm: this.at_mm } }));
  }

  /** Puts the cursor over the drawn mark, by the scale that the shown drawing states about itself. */
  #placeCursor() {
    const drawn = [...this.strip.querySelectorAll("svg")].find((svg) => svg.getClientRects().length > 0);
    if (this.at_mm === undefined || !drawn) return;
    const units = drawn.getBoundingClientRect().width / drawn.viewBox.baseVal.width;
    const { left, scale } = drawn.dataset;
    this.cursor.hidden = false;
    this.cursor.style.left = `${(Number(left) + this.at_mm * Number(scale)) * units}px`;
  }
}
