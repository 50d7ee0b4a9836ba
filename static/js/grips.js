/**
 * Openings and zones taken by their grips, in whole millimetres: the numbers of the form follow at once, the program
 * draws anew when the move is over. The grips lie over the drawing in millimetres of the wall, y down from the floor.
 */
import { movable } from "./movable.js";

export class Grips {
  /**
   * @param {Element} sketch holds the drawing in its sizes, and the grips
   * @param {HTMLFormElement} form holds the numbers
   * @param {string} words how a place is said, with places {what}, {left} and {bottom}
   */
  constructor(sketch, form, words) {
    this.sketch = sketch;
    this.words = words;
    this.svg = /** @type {SVGSVGElement} */ (sketch.querySelector("[data-grips]"));
    movable(this.svg, "[data-grip]", [1, 10], (grip, x, y) => this.#move(grip, form, x, y));
    for (const over of ["pointerup", "keyup"])
      this.svg.addEventListener(over, () => form.dispatchEvent(new Event("change")));
    this.sizes = new ResizeObserver(() => this.place());
    this.sizes.observe(sketch);
  }

  get drawn() {
    return [...this.sketch.querySelectorAll("svg")].find(
      (one) => one !== this.svg && one.getClientRects().length,
    );
  }

  /** A grip over every region that is drawn; grips that are there stay, and keep the focus. */
  place() {
    const { drawn } = this;
    if (!drawn) return;
    const [left, floor, scale] = ["left", "floor", "scale"].map((name) => Number(drawn.dataset[name]));
    const { width, height } = drawn.viewBox.baseVal;
    const box = [-left, -floor, width, height].map((one) => one / scale);
    this.svg.setAttribute("viewBox", box.join(" "));
    const least = ((matchMedia("(pointer: coarse)").matches ? 44 : 24) * box[2]) / drawn.clientWidth;
    const grips = [...this.svg.children];
    for (const region of drawn.querySelectorAll("[data-region]")) {
      const path = region.getAttribute("data-region") ?? "";
      const there = grips.findIndex((one) => one.getAttribute("data-grip") === path);
      const grip =
        there < 0
          ? this.svg.appendChild(document.createElementNS("http://www.w3.org/2000/svg", "rect"))
          : grips.splice(there, 1)[0];
      const [x, y, wide, high] = (region.getAttribute("data-box") ?? "").split(" ").map(Number);
      const sides = [Math.max(wide, least), Math.max(high, least)];
      const values = {
        "data-grip": path,
        "data-at": `${x} ${y}`,
        role: "button",
        tabindex: 0,
        width: sides[0],
        height: sides[1],
        x: x + (wide - sides[0]) / 2,
        y: -y - (high + sides[1]) / 2,
      };
      for (const [name, value] of Object.entries(values)) grip.setAttribute(name, String(value));
      grip.removeAttribute("transform");
      this.#say(grip, region, x, y);
    }
    grips.forEach((gone) => gone.remove());
  }

  /**
   * @param {Element} grip
   * @param {HTMLFormElement} form
   * @param {number} right_mm
   * @param {number} down_mm
   */
  #move(grip, form, right_mm, down_mm) {
    const path = grip.getAttribute("data-grip");
    const region = this.drawn?.querySelector(`[data-region="${path}"]`);
    if (!region) return;
    const [x, y] = (grip.getAttribute("data-at") ?? "").split(" ").map(Number);
    const [left, bottom] = [x + right_mm, y - down_mm];
    grip.setAttribute("data-at", `${left} ${bottom}`);
    const [x0, y0] = (region.getAttribute("data-box") ?? "").split(" ").map(Number);
    const by = [left - x0, y0 - bottom];
    grip.setAttribute("transform", `translate(${by.join(" ")})`);
    const scale = Number(this.drawn?.dataset.scale);
    region.setAttribute("transform", `translate(${by.map((one) => one * scale).join(" ")})`);
    this.#say(grip, region, Math.round(left), Math.round(bottom));
    for (const [side, value] of Object.entries({ left, bottom })) {
      const field = /** @type {HTMLInputElement} */ (form.elements.namedItem(`${path}.${side}_mm`));
      if (field.value === value.toFixed()) continue;
      field.value = value.toFixed();
      field.dispatchEvent(new Event("input", { bubbles: true }));
    }
  }

  /**
   * @param {Element} grip
   * @param {Element} region
   * @param {number} left
   * @param {number} bottom mm from the wall's left end and from the floor
   */
  #say(grip, region, left, bottom) {
    const what = region.querySelector("title")?.textContent;
    const said = new Map(Object.entries({ what, left, bottom }));
    grip.ariaLabel = this.words.replace(/\{(\w+)\}/g, (_all, /** @type {string} */ name) =>
      String(said.get(name)),
    );
  }

  dispose() {
    this.sizes.disconnect();
  }
}
