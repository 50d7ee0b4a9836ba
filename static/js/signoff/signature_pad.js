/** A field to draw a signature in; what was drawn goes along with its form as a PNG, an empty one does not. */
export class SignaturePad {
  /** @param {HTMLElement} pad */
  constructor(pad) {
    this.canvas = /** @type {HTMLCanvasElement} */ (pad.querySelector("[data-pad-canvas]"));
    this.value = /** @type {HTMLInputElement} */ (pad.querySelector("[data-pad-value]"));
    this.drawing = this.canvas.getContext("2d");
    this.drawn = false;
    /** @type {number | null} */
    this.pointer = null;
    pad.hidden = false;
    this.canvas.addEventListener("pointerdown", (event) => this.#begin(event));
    this.canvas.addEventListener("pointermove", (event) => this.#go(event));
    for (const end of ["pointerup", "pointercancel"]) this.canvas.addEventListener(end, () => this.#end());
    pad.querySelector("[data-pad-clear]")?.addEventListener("click", () => this.clear());
  }

  clear() {
    this.drawing?.clearRect(0, 0, this.canvas.width, this.canvas.height);
    this.drawn = false;
    this.value.value = "";
  }

  /** @param {PointerEvent} event @returns {[number, number]} */
  #place(event) {
    const box = this.canvas.getBoundingClientRect();
    return [
      ((event.clientX - box.left) / box.width) * this.canvas.width,
      ((event.clientY - box.top) / box.height) * this.canvas.height,
    ];
  }

  /** @param {PointerEvent} event */
  #begin(event) {
    if (!this.drawing || this.pointer !== null) return;
    event.preventDefault();
    this.pointer = event.pointerId;
    this.canvas.setPointerCapture(event.pointerId);
    Object.assign(this.drawing, {
      lineWidth: 4,
      lineCap: "round",
      lineJoin: "round",
      strokeStyle: "#262626",
    });
    this.drawing.beginPath();
    this.drawing.moveTo(...this.#place(event));
  }

  /** @param {PointerEvent} event */
  #go(event) {
    if (!this.drawing || event.pointerId !== this.pointer) return;
    for (const moved of event.getCoalescedEvents?.() ?? [event]) this.drawing.lineTo(...this.#place(moved));
    this.drawing.stroke();
    this.drawn = true;
  }

  #end() {
    this.pointer = null;
    if (this.drawn) this.value.value = this.canvas.toDataURL("image/png");
  }
}

/** @param {Document} page */
export function startPads(page) {
  for (const pad of page.querySelectorAll("[data-pad]"))
    if (pad instanceof HTMLElement) new SignaturePad(pad);
}
