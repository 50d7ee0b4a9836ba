/**
 * Openings and zones taken by their grips: dragged over the drawing or moved by arrow keys, in whole millimetres. The
 * numbers of the form follow at once; the program draws anew when the move is over.
 */
const LONG_STEP_MM = 10;
/** @type {Record<string, [number, number]>} */
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

export class Grips {
  /**
   * @param {HTMLElement} sketch holds the drawing in its sizes, and the grips
   * @param {HTMLFormElement} form
   * @param {string} words how a place is said
   */
  constructor(sketch, form, words) {
    this.sketch = sketch;
    this.form = form;
    this.words = words;
    this.holder = /** @type {HTMLElement} */ (sketch.querySelector("[data-grips]"));
    sketch.querySelector("[data-grips-words]")?.removeAttribute("hidden");
    this.sizes = new ResizeObserver(() => this.place());
    this.sizes.observe(sketch);
  }

  get svg() {
    return [...this.sketch.querySelectorAll("svg")].find((one) => one.getClientRects().length > 0);
  }

  /** Puts a grip over every region that is drawn; grips that are there stay, and keep the focus. */
  place() {
    const from = this.holder.getBoundingClientRect();
    const grips = /** @type {HTMLElement[]} */ ([...this.holder.children]);
    for (const region of this.svg?.querySelectorAll("[data-region]") ?? []) {
      const path = region.getAttribute("data-region") ?? "";
      const there = grips.findIndex((one) => one.dataset.grip === path);
      const grip = there < 0 ? this.#grip(path) : grips.splice(there, 1)[0];
      const box = region.getBoundingClientRect();
      const [left, bottom] = at(region);
      grip.style.left = `${box.x + box.width / 2 - from.x}px`;
      grip.style.top = `${box.y + box.height / 2 - from.y}px`;
      grip.style.width = `${box.width}px`;
      grip.style.height = `${box.height}px`;
      grip.ariaLabel = grip.title = this.words
        .replace("{what}", region.querySelector("title")?.textContent ?? "")
        .replace("{left}", String(left))
        .replace("{bottom}", String(bottom));
    }
    grips.forEach((gone) => gone.remove());
  }

  /** @param {string} path */
  #grip(path) {
    const grip = document.createElement("button");
    grip.type = "button";
    grip.dataset.grip = path;
    grip.addEventListener("keydown", (event) => {
      const way = ARROWS[event.key];
      if (!way) return;
      event.preventDefault();
      const step = event.shiftKey ? LONG_STEP_MM : 1;
      const [left, bottom] = at(this.#region(path));
      this.#move(path, left + way[0] * step, bottom + way[1] * step);
    });
    grip.addEventListener("keyup", (event) => event.key in ARROWS && this.#done());
    grip.addEventListener("pointerdown", (event) => this.#drag(grip, path, event));
    this.holder.append(grip);
    return grip;
  }

  /** @param {string} path */
  #region(path) {
    return /** @type {Element} */ (this.svg?.querySelector(`[data-region="${path}"]`));
  }

  /** @param {HTMLElement} grip @param {string} path @param {PointerEvent} event */
  #drag(grip, path, event) {
    const svg = /** @type {SVGSVGElement} */ (this.svg);
    const mm = svg.viewBox.baseVal.width / svg.getBoundingClientRect().width / Number(svg.dataset.scale);
    const [left, bottom] = at(this.#region(path));
    grip.setPointerCapture(event.pointerId);
    grip.onpointermove = ({ clientX, clientY }) =>
      this.#move(path, left + (clientX - event.clientX) * mm, bottom + (event.clientY - clientY) * mm);
    grip.onpointerup = grip.onpointercancel = () => {
      grip.onpointermove = grip.onpointerup = grip.onpointercancel = null;
      this.#done();
    };
  }

  /** @param {string} path @param {number} left_mm @param {number} bottom_mm */
  #move(path, left_mm, bottom_mm) {
    const region = this.#region(path);
    const [left, bottom] = [Math.round(left_mm), Math.round(bottom_mm)];
    const [x, y] = at(region, "data-at");
    const scale = Number(this.svg?.dataset.scale);
    region.setAttribute("data-now", `${left} ${bottom}`);
    region.setAttribute("transform", `translate(${(left - x) * scale} ${(y - bottom) * scale})`);
    for (const [name, value] of [
      ["left", left],
      ["bottom", bottom],
    ]) {
      const field = /** @type {HTMLInputElement} */ (this.form.elements.namedItem(`${path}.${name}_mm`));
      if (field.value === String(value)) continue;
      field.value = String(value);
      field.dispatchEvent(new Event("input", { bubbles: true }));
    }
    this.place();
  }

  #done() {
    this.form.dispatchEvent(new Event("change"));
  }

  dispose() {
    this.sizes.disconnect();
    this.holder.replaceChildren();
  }
}

/** Left and bottom [mm]: as drawn, or as moved since. @param {Element} region @param {string} [as] */
function at(region, as = "data-now") {
  return (region.getAttribute(as) ?? region.getAttribute("data-at") ?? "").split(" ").map(Number);
}
