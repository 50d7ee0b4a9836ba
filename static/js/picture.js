/**
 * The picture of the job: a server-made still first, the orbit view over it as soon as it can draw, the still again on
 * request or where there is no WebGL. Says at its foot what it shows.
 */
import { Container } from "./container.js";
import { readWall } from "./glb_reader.js";
import { OrbitInput } from "./orbit_input.js";

/** @typedef {{finish: string, lighting: string, view: string}} Choice */

export class Picture {
  /**
   * @param {HTMLElement} figure
   * @param {import("./orbit_data.js").OrbitData} orbit
   * @param {import("./orbit_camera.js").OrbitCamera} camera
   */
  constructor(figure, orbit, camera) {
    const part = (/** @type {string} */ name) =>
      /** @type {HTMLElement} */ (figure.querySelector(`[data-${name}]`));
    this.orbit = orbit;
    this.camera = camera;
    this.frame = part("view");
    this.image = /** @type {HTMLImageElement} */ (part("still"));
    this.notice = part("notice");
    this.turning = part("turning");
    this.switch = /** @type {HTMLButtonElement} */ (part("still-switch"));
    this.foot = part("picture-words");
    this.asStill = false;
    /** @type {Choice | null} */
    this.choice = null;
    /** @type {import("./orbit_view.js").OrbitView | null} */
    this.view = null;
    this.switch.addEventListener("click", () => this.#switchStill());
    this.image.addEventListener("load", () => this.#say(""));
    this.image.addEventListener("error", () => this.#say(this.orbit.words.still_failed));
  }

  /** Loads the mesh and three.js; until then, and without WebGL, the still stays. */
  async start() {
    if (!document.createElement("canvas").getContext("webgl2")) {
      this.#stillOnly(this.orbit.words.no_webgl);
      return;
    }
    try {
      const [{ OrbitView }, mesh, figure] = await Promise.all([
        import("./orbit_view.js"),
        fetched(this.orbit.mesh),
        fetched(this.orbit.figure),
      ]);
      const canvas = this.#canvas();
      this.view = new OrbitView(canvas, this.orbit, this.camera, readWall(mesh), new Container(figure));
      this.input = new OrbitInput(canvas, this.turning, this.camera);
      this.view.addEventListener("lost", () => this.#stillOnly(this.orbit.words.lost));
      this.view.addEventListener("rest", () => (this.frame.dataset.state = "rest"));
      this.view.addEventListener("drawn", () => {
        this.frame.dataset.state = "drawing";
        this.frame.dataset.shown = this.choice?.finish;
      });
    } catch (error) {
      this.#stillOnly(this.orbit.words.no_webgl);
      throw error;
    }
    this.turning.hidden = false;
    if (this.choice) this.show(this.choice);
    await this.#fetchLights();
  }

  /** The exact light of each lighting, the shown one first; the first shading stands until then and is named. */
  async #fetchLights() {
    const shown = this.orbit.lightings.findIndex((one) => one.key === this.choice?.lighting);
    const order = this.orbit.lightings
      .map((_, number) => number)
      .sort((a, b) => Number(b === shown) - Number(a === shown));
    for (const number of order) {
      try {
        const light = new Container(await fetched(this.orbit.lightings[number].light));
        this.view?.useLight(number, light);
      } catch {
        this.#say(this.orbit.words.no_light);
        return;
      }
      this.#sayLight();
    }
    this.frame.dataset.light = "exact";
  }

  #sayLight() {
    if (!this.view || this.asStill) return;
    const lighting = this.orbit.lightings.findIndex((one) => one.key === this.choice?.lighting);
    this.#say(this.view.isExact(lighting) ? "" : this.orbit.words.first_light);
  }

  /** @param {Choice} choice */
  show(choice) {
    const moved = choice.view !== this.choice?.view || !this.shown;
    this.choice = choice;
    const finish = this.orbit.candidates.findIndex((one) => one.key === choice.finish);
    const lighting = this.orbit.lightings.findIndex((one) => one.key === choice.lighting);
    this.foot.textContent = this.orbit.words.foot
      .replace("{finish}", this.orbit.candidates[finish].name)
      .replace("{lighting}", this.orbit.lightings[lighting].name)
      .replace("{state}", this.orbit.candidates[finish].state);
    if (this.view) {
      if (moved) this.camera.look(this.orbit.views[choice.view]);
      this.view.show(finish, lighting);
      this.shown = true;
      this.#sayLight();
    }
    if (!this.view || this.asStill) this.#askStill();
  }

  /** @param {number} x_m along the wall */
  walkTo(x_m) {
    if (this.orbit.groove.upright) this.camera.walkTo(x_m);
  }

  #askStill() {
    if (!this.choice) return;
    const address = `${this.orbit.still}?${new URLSearchParams(this.choice)}`;
    if (this.image.getAttribute("src") === address) return;
    this.#say(this.orbit.words.still_coming);
    this.image.src = address;
    this.image.alt = this.foot.textContent ?? "";
  }

  #switchStill() {
    this.asStill = !this.asStill;
    this.switch.setAttribute("aria-pressed", String(this.asStill));
    const canvas = this.frame.querySelector("canvas");
    if (canvas) canvas.hidden = this.asStill;
    if (this.asStill) this.#askStill();
    else this.#sayLight();
  }

  #canvas() {
    const canvas = document.createElement("canvas");
    canvas.tabIndex = 0;
    canvas.setAttribute("role", "application");
    canvas.setAttribute("aria-label", this.orbit.words.orbit_label);
    canvas.setAttribute("aria-describedby", this.foot.id);
    this.frame.append(canvas);
    return canvas;
  }

  /** @param {string} why */
  #stillOnly(why) {
    this.view?.dispose();
    this.view = null;
    this.frame.querySelector("canvas")?.remove();
    this.frame.dataset.state = "still";
    this.turning.hidden = true;
    this.#askStill();
    this.#say(why);
  }

  /** @param {string} words */
  #say(words) {
    this.notice.textContent = words;
    this.notice.hidden = words === "";
  }
}

/** @param {string} address */
async function fetched(address) {
  const answer = await fetch(address);
  if (!answer.ok) throw new Error(`${address} could not be had (${answer.status})`);
  return answer.arrayBuffer();
}
