/**
 * Openings and zones taken by their grips: dragged over the drawing, or moved by arrow keys, in whole millimetres. The
 * numbers of the form follow at once; the drawing is made anew by the program when the move is over.
 */
const STEP_MM = 1;
const LONG_STEP_MM = 10;
/** @type {Record<string, [number, number]>} */
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

export class Grips {
  /**
   * @param {HTMLElement} sketch holds the drawing in its sizes, and the grips
   * @param {HTMLFormElement} form
   * @param {string} words what is read out of a place
   */
  constructor(sketch, form, words) {
    this.sketch = sketch;
    this.form = form;
    this.words = words;
    this.holder = /** @type {HTMLElement} */ (sketch.querySelector("[data-grips]"));
    this.hint = /** @type {HTMLElement | null} */ (sketch.querySelector("[data-grips-words]"));
    this.sizes = new ResizeObserver(() => this.place());
    this.sizes.observe(sketch);
    if (this.hint) this.hint.hidden = false;
  }

  get svg() {
    return [...this.sketch.querySelectorAll("svg")].find((one) => one.getClientRects().length > 0);
  }

  /** Puts a grip over every region of the drawing that is shown; grips that are there stay, and keep the focus. */
  place() {
    const regions = [...(this.svg?.querySelectorAll("[data-region]") ?? [])];
    const paths = regions.map((one) => one.getAttribute("data-region"));
    for (const grip of [...this.holder.children]) {
      if (!paths.includes(grip.getAttribute("data-grip"))) grip.remove();
    }
    const from = this.holder.getBoundingClientRect();
    for (const region of regions) {
      const path = region.getAttribute("data-region") ?? "";
      const grip = /** @type {HTMLElement} */ (
        this.holder.querySelector(`[data-grip="${path}"]`) ?? this.#grip(path)
      );
      const box = region.getBoundingClientRect();
      grip.style.left = `${box.x + box.width / 2 - from.x}px`;
      grip.style.top = `${box.y + box.height / 2 - from.y}px`;
      grip.style.width = `${box.width}px`;
      grip.style.height = `${box.height}px`;
      this.#say(grip, region);
    }
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
      const step = event.shiftKey ? LONG_STEP_MM : STEP_MM;
      this.#move(path, this.#at(path), way[0] * step, way[1] * step);
    });
    grip.addEventListener("keyup", (event) => event.key in ARROWS && this.#done(path));
    grip.addEventListener("pointerdown", (event) => this.#drag(grip, path, event));
    this.holder.append(grip);
    return grip;
  }

  /** @param {HTMLElement} grip @param {string} path @param {PointerEvent} event */
  #drag(grip, path, event) {
    const svg = this.svg;
    if (!svg) return;
    grip.setPointerCapture(event.pointerId);
    const perPixel =
      svg.viewBox.baseVal.width / svg.getBoundingClientRect().width / Number(svg.dataset.scale);
    const start = this.#at(path);
    const over = new AbortController();
    const { signal } = over;
    grip.addEventListener(
      "pointermove",
      ({ clientX, clientY }) =>
        this.#move(path, start, (clientX - event.clientX) * perPixel, (event.clientY - clientY) * perPixel),
      { signal },
    );
    const end = () => {
      over.abort();
      this.#done(path);
    };
    grip.addEventListener("pointerup", end, { signal });
    grip.addEventListener("pointercancel", end, { signal });
  }

  /** @param {string} path @returns {[number, number]} where the drawing has it, and what was moved since [mm] */
  #at(path) {
    const [left, bottom] = this.#region(path)?.getAttribute("data-now")?.split(" ").map(Number) ?? [0, 0];
    return [left, bottom];
  }

  /** @param {string} path */
  #region(path) {
    const found = this.svg?.querySelector(`[data-region="${path}"]`);
    if (found && !found.hasAttribute("data-now")) {
      found.setAttribute("data-now", found.getAttribute("data-at") ?? "0 0");
    }
    return found;
  }

  /** @param {string} path @param {[number, number]} from @param {number} right_mm @param {number} up_mm */
  #move(path, from, right_mm, up_mm) {
    const region = this.#region(path);
    if (!region || !this.svg) return;
    const [left, bottom] = [Math.round(from[0] + right_mm), Math.round(from[1] + up_mm)];
    if (region.getAttribute("data-now") === `${left} ${bottom}`) return;
    region.setAttribute("data-now", `${left} ${bottom}`);
    const [x, y] = (region.getAttribute("data-at") ?? "0 0").split(" ").map(Number);
    const scale = Number(this.svg.dataset.scale);
    region.setAttribute("transform", `translate(${(left - x) * scale} ${(y - bottom) * scale})`);
    this.#type(`${path}.left_mm`, left);
    this.#type(`${path}.bottom_mm`, bottom);
    this.place();
  }

  /** @param {string} name @param {number} value */
  #type(name, value) {
    const field = this.form.elements.namedItem(name);
    if (!(field instanceof HTMLInputElement) || field.value === String(value)) return;
    field.value = String(value);
    field.dispatchEvent(new Event("input", { bubbles: true }));
  }

  /** @param {string} path */
  #done(path) {
    const field = this.form.elements.namedItem(`${path}.left_mm`);
    if (field instanceof HTMLInputElement) field.dispatchEvent(new Event("change", { bubbles: true }));
  }

  /** @param {HTMLElement} grip @param {Element} region */
  #say(grip, region) {
    const [left, bottom] = (region.getAttribute("data-now") ?? region.getAttribute("data-at") ?? "").split(
      " ",
    );
    const what = region.querySelector("title")?.textContent ?? "";
    const said = this.words.replace("{what}", what).replace("{left}", left).replace("{bottom}", bottom);
    grip.setAttribute("aria-label", said);
    grip.title = said;
  }

  dispose() {
    this.sizes.disconnect();
    this.holder.replaceChildren();
  }
}
