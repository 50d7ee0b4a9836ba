/**
 * Places in a still: those that were remarked on, and the one that is being marked. A place is a share of the
 * picture's width and height from its upper left corner; arrow keys move it where there is no pointer.
 *
 * Event: "wanted" when somebody wants to mark and the still must show.
 */
const STEP = 0.02;
/** Directions by arrow key, to the right and down. @type {Map<string, [number, number]>} */
const ARROWS = new Map([
  ["ArrowLeft", [-1, 0]],
  ["ArrowRight", [1, 0]],
  ["ArrowUp", [0, -1]],
  ["ArrowDown", [0, 1]],
]);

export class Marks extends EventTarget {
  /**
   * @param {Element} figure of the picture
   * @param {HTMLFormElement | null} form says in its data what a place is called
   */
  constructor(figure, form) {
    super();
    this.form = form;
    this.words = form?.dataset ?? {};
    this.layer = document.createElement("div");
    this.layer.className = "marks";
    const view = /** @type {HTMLElement} */ (figure.querySelector("[data-view]"));
    view.append(this.layer);
    this.picture = 0;
    this.still = true;
    this.on = false;
    this.x = 0.5;
    this.y = 0.5;
    const button = form?.querySelector("[data-mark]");
    if (button instanceof HTMLButtonElement) {
      this.button = button;
      button.hidden = false;
      button.addEventListener("click", () => this.#toggle());
    }
    this.layer.addEventListener("pointerdown", (event) => this.#point(event));
    this.layer.addEventListener("keydown", (event) => this.#key(event));
  }

  /** @param {number} picture number of the still that is chosen */
  show(picture) {
    if (this.on && picture !== this.picture) this.#toggle();
    this.picture = picture;
    this.#draw();
  }

  /** A remark was sent: its place is one that was said. */
  sent() {
    if (this.on) this.#toggle();
    else this.#draw();
  }

  /** @param {boolean} still whether the still stands there, not the turning view */
  onStill(still) {
    this.still = still;
    if (!still && this.on) this.#toggle();
    this.#draw();
  }

  #toggle() {
    this.on = !this.on;
    this.button?.setAttribute("aria-pressed", String(this.on));
    this.layer.toggleAttribute("data-on", this.on);
    if (this.on) {
      this.dispatchEvent(new Event("wanted"));
      this.still = true;
      this.layer.tabIndex = 0;
      this.layer.setAttribute("role", "application");
      this.layer.setAttribute("aria-label", this.words.placeLabel ?? "");
      this.#set(this.x, this.y);
      this.layer.focus();
    } else {
      for (const name of ["tabindex", "role", "aria-label"]) this.layer.removeAttribute(name);
      this.#fill("", "", "");
      this.#draw();
    }
  }

  /** @param {PointerEvent} event */
  #point(event) {
    if (!this.on) return;
    const box = this.layer.getBoundingClientRect();
    this.#set((event.clientX - box.left) / box.width, (event.clientY - box.top) / box.height);
  }

  /** @param {KeyboardEvent} event */
  #key(event) {
    const move = ARROWS.get(event.key);
    if (!move || !this.on) return;
    event.preventDefault();
    this.#set(this.x + move[0] * STEP, this.y + move[1] * STEP);
  }

  /** @param {number} x @param {number} y shares of the picture, held within 0 and 1 */
  #set(x, y) {
    this.x = Math.min(1, Math.max(0, x));
    this.y = Math.min(1, Math.max(0, y));
    this.#fill(String(this.picture), this.x.toFixed(4), this.y.toFixed(4));
    this.#draw();
  }

  /**
   * Fills the fields of the form, all empty where nothing is marked.
   *
   * @param {string} picture number of the still
   * @param {string} x
   * @param {string} y shares of the picture, from 0 to 1
   */
  #fill(picture, x, y) {
    for (const [name, value] of Object.entries({ picture, x, y })) {
      const input = this.form?.querySelector(`[data-remark-${name}]`);
      if (input instanceof HTMLInputElement) input.value = value;
    }
    const words = this.form?.querySelector("[data-mark-words]");
    if (words) {
      const share = (/** @type {string} */ part) => String(Math.round(Number(part) * 100));
      words.textContent = x
        ? (this.words.placeWords ?? "").replace("{x}", share(x)).replace("{y}", share(y))
        : "";
    }
  }

  #draw() {
    this.layer.replaceChildren();
    this.layer.hidden = !this.still;
    document.querySelectorAll(".said > li").forEach((item, place) => {
      const { saidPicture, saidX, saidY } = item instanceof HTMLElement ? item.dataset : {};
      if (Number(saidPicture) === this.picture) this.#ring(Number(saidX), Number(saidY), String(place + 1));
    });
    if (this.on) this.#ring(this.x, this.y, "+");
  }

  /**
   * @param {number} x
   * @param {number} y shares of the picture, from 0 to 1
   * @param {string} sign that stands in it
   */
  #ring(x, y, sign) {
    const ring = document.createElement("span");
    ring.textContent = sign;
    ring.style.left = `${x * 100}%`;
    ring.style.top = `${y * 100}%`;
    this.layer.append(ring);
  }
}
