/**
 * The picture of the job: a server-made still first, the orbit view over it as soon as it can draw, the still again on
 * request or where there is no WebGL. Says at its foot what it shows.
 */
import { Container } from "./container.js";
import { fetched, loadWall } from "./load.js";
import { OrbitInput } from "./orbit_input.js";

/** @typedef {{finish: string, lighting: string, view: string}} Choice */

export class Picture {
  /**
   * @param {HTMLElement} figure
   * @param {import("./types").OrbitData} orbit
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
    /** why stills stand here instead of the turning view */
    this.why = "";
    /** @type {Choice | null} */
    this.choice = null;
    /** @type {import("./wall_scene.js").WallScene | null} */
    this.wall = null;
    /** @type {import("./orbit_view.js").OrbitView | null} */
    this.view = null;
    this.switch.addEventListener("click", () => this.#switchStill());
    this.image.addEventListener("load", () => this.#say(this.why));
    this.image.addEventListener("error", () => this.#say(this.orbit.words.still_failed));
  }

  /** Loads mesh, light and three.js; until then, and without WebGL, the still stays. */
  async start() {
    if (!document.createElement("canvas").getContext("webgl2")) {
      this.#stillOnly(this.orbit.words.no_webgl);
      return;
    }
    try {
      const [{ OrbitView }, wall] = await Promise.all([import("./orbit_view.js"), loadWall(this.orbit)]);
      this.wall = wall;
      await this.#light(this.#places().lighting);
      const canvas = this.#canvas();
      this.view = new OrbitView(canvas, wall, this.camera);
      this.input = new OrbitInput(canvas, this.turning, this.camera);
    } catch (error) {
      this.#stillOnly(this.orbit.words.no_webgl);
      throw error;
    }
    this.view.addEventListener("lost", () => this.#stillOnly(this.orbit.words.lost));
    this.view.addEventListener("rest", () => (this.frame.dataset.state = "rest"));
    this.view.addEventListener("drawn", () => {
      this.frame.dataset.state = "drawing";
      this.frame.dataset.shown = this.choice?.finish;
    });
    this.turning.hidden = false;
    this.switch.hidden = !this.orbit.still;
    if (this.choice) this.show(this.choice);
    for (let lighting = 0; lighting < this.orbit.lightings.length; lighting += 1) await this.#light(lighting);
    this.wall.prepare();
    this.frame.dataset.light = "all";
  }

  /** Fetches the light of a lighting, once. @param {number} lighting */
  async #light(lighting) {
    if (!this.wall || this.wall.has(lighting)) return;
    const light = new Container(await fetched(this.orbit.lightings[lighting].light));
    if (!this.wall.has(lighting)) this.wall.addLight(lighting, light);
  }

  /** Places of the choice in the lists. */
  #places() {
    const { candidates, lightings } = this.orbit;
    const finish = candidates.findIndex((one) => one.key === this.choice?.finish);
    return { finish, lighting: lightings.findIndex((one) => one.key === this.choice?.lighting) };
  }

  /** @param {Choice} choice */
  show(choice) {
    const moved = choice.view !== this.choice?.view || !this.shown;
    this.choice = choice;
    const { finish, lighting } = this.#places();
    const { candidates, lightings, words } = this.orbit;
    this.foot.textContent = words.foot
      .replace("{finish}", candidates[finish].name)
      .replace("{lighting}", lightings[lighting].name)
      .replace("{state}", candidates[finish].state);
    if (!this.view || this.asStill) this.#askStill();
    if (!this.view) return;
    if (moved) this.camera.look(this.orbit.views[choice.view]);
    this.shown = true;
    if (this.wall?.has(lighting)) {
      this.view.show(finish, lighting);
      return;
    }
    this.#say(words.light_coming);
    this.#light(lighting).then(
      () => {
        this.#say("");
        if (this.choice) this.show(this.choice);
      },
      () => this.#say(words.no_light),
    );
  }

  /** Another finish takes a candidate's place. @param {number} place @param {import("./types").Candidate} candidate */
  replace(place, candidate) {
    this.orbit.candidates[place] = candidate;
    this.wall?.replace(place);
  }

  /** @param {number} x_m along the wall */
  walkTo(x_m) {
    if (this.orbit.layout.upright) this.camera.walkTo(x_m);
  }

  #askStill() {
    if (!this.choice || !this.orbit.still) return;
    const { asked } = this.orbit.candidates[this.#places().finish];
    const address = `${this.orbit.still}&${new URLSearchParams({ ...this.choice, ...asked })}`;
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
    else this.#say("");
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
    this.turning.hidden = this.switch.hidden = true;
    this.why = why;
    this.#askStill();
    this.#say(why);
  }

  /** @param {string} words */
  #say(words) {
    this.notice.textContent = words;
    this.notice.hidden = words === "";
  }
}
