/**
 * The rod as a control: a native slider over the strip. Arrow keys go from mark to mark, a touch or drag takes the
 * nearest place; the reading says the mark in words.
 *
 * Events: "place" with detail {at_mm} from the left end of the wall.
 *
 * @typedef {{at_mm: number, until_mm: number, words: string}} Mark
 */
export class Rod extends EventTarget {
  /**
   * @param {HTMLElement} strip holds the drawn rods, the slider and the cursor
   * @param {HTMLElement} reading where the mark is read out
   * @param {Mark[]} marks in order of place
   */
  constructor(strip, reading, marks) {
    super();
    this.strip = strip;
    this.reading = reading;
    this.marks = marks;
    this.index = -1;
    this.slider = /** @type {HTMLInputElement} */ (strip.querySelector("input"));
    this.cursor = /** @type {HTMLElement} */ (strip.querySelector("[data-rod-cursor]"));
    this.onKey = this.onKey.bind(this);
    this.onInput = () => this.goTo(this.nearest(Number(this.slider.value)));
    this.onResize = new ResizeObserver(() => this.placeCursor());
    this.slider.addEventListener("keydown", this.onKey);
    this.slider.addEventListener("input", this.onInput);
    this.onResize.observe(strip);
  }

  /** @param {KeyboardEvent} event */
  onKey(event) {
    const last = this.marks.length - 1;
    const steps = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 10, PageDown: -10 };
    let next = null;
    if (event.key in steps) next = this.index + steps[/** @type {keyof typeof steps} */ (event.key)];
    else if (event.key === "Home") next = 0;
    else if (event.key === "End") next = last;
    if (next === null) return;
    event.preventDefault();
    this.goTo(Math.min(last, Math.max(0, next)));
  }

  /** Index of the mark that holds ``at``, or else the nearest edge. @param {number} at_mm */
  nearest(at_mm) {
    let best = 0;
    let least = Infinity;
    this.marks.forEach((mark, index) => {
      const away = Math.max(mark.at_mm - at_mm, at_mm - mark.until_mm, 0);
      if (away < least) [best, least] = [index, away];
    });
    return best;
  }

  /** @param {number} index */
  goTo(index) {
    const mark = this.marks[index];
    if (!mark) return;
    this.index = index;
    const at_mm = (mark.at_mm + mark.until_mm) / 2;
    this.slider.value = String(at_mm);
    this.slider.setAttribute("aria-valuetext", mark.words);
    this.reading.textContent = mark.words;
    this.placeCursor();
    this.dispatchEvent(new CustomEvent("place", { detail: { at_mm } }));
  }

  /** Puts the cursor over the drawn mark, by the scale that the shown drawing states about itself. */
  placeCursor() {
    const mark = this.marks[this.index];
    const drawn = [...this.strip.querySelectorAll("svg")].find((svg) => svg.getClientRects().length > 0);
    if (!mark || !drawn) return;
    const units = drawn.getBoundingClientRect().width / drawn.viewBox.baseVal.width;
    const at_mm = (mark.at_mm + mark.until_mm) / 2;
    const x = (Number(drawn.dataset.left) + at_mm * Number(drawn.dataset.scale)) * units;
    this.cursor.hidden = false;
    this.cursor.style.left = `${x}px`;
  }

  dispose() {
    this.slider.removeEventListener("keydown", this.onKey);
    this.slider.removeEventListener("input", this.onInput);
    this.onResize.disconnect();
  }
}
