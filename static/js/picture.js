/**
 * The picture of the job: a server-made still first, then the orbit view over it; the still again on request, while the
 * graphics are lost, or where there is no WebGL. Says at its foot what it shows.
 */
import { Container } from "./container.js";
import { fetched, loadWall } from "./load.js";
import { listen } from "./orbit_input.js";

/**
 * What is chosen by the radio inputs.
 *
 * @param {ParentNode} within
 * @returns {import("./types").Choice}
 */
export function chosen(within) {
  /** @param {string} name */
  const of = (name) => {
    const input = /** @type {HTMLInputElement} */ (within.querySelector(`input[name=${name}]:checked`));
    return input.value;
  };
  return { finish: of("finish"), lighting: of("lighting"), view: of("view") };
}

export class Picture {
  /**
   * @param {Element} figure holds the parts of _picture.html
   * @param {import("./types").OrbitData} orbit
   * @param {import("./orbit_camera.js").OrbitCamera} camera
   */
  constructor(figure, orbit, camera) {
    const part = (/** @type {string} */ name) => {
      const found = figure.querySelector(`[data-${name}]`);
      return /** @type {HTMLElement} */ (found);
    };
    this.orbit = orbit;
    this.camera = camera;
    this.frame = part("view");
    this.image = /** @type {HTMLImageElement} */ (part("still"));
    this.notice = part("notice");
    this.turning = part("turning");
    this.switch = part("still-switch");
    this.foot = part("picture-words");
    this.asStill = false;
    /** why stills stand here instead of the turning view */
    this.why = "";
    /** @type {import("./types").Choice | null} */
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
    const { frame, orbit } = this;
    if (!document.createElement("canvas").getContext("webgl2")) {
      this.#stillOnly(orbit.words.no_webgl);
      return;
    }
    try {
      const [{ OrbitView }, wall] = await Promise.all([import("./orbit_view.js"), loadWall(orbit)]);
      this.wall = wall;
      await this.#light(this.#places().lighting);
      this.canvas = this.#canvas();
      this.view = new OrbitView(this.canvas, wall, this.camera);
      listen(this.canvas, this.turning, this.camera);
    } catch (error) {
      this.#stillOnly(orbit.words.no_webgl);
      throw error;
    }
    this.view.addEventListener("lost", () => this.#stillOnly(orbit.words.lost));
    this.view.addEventListener("back", () => this.#turn());
    this.view.addEventListener("rest", () => (frame.dataset.state = "rest"));
    this.view.addEventListener("drawn", () => {
      frame.dataset.state = "drawing";
      frame.dataset.shown = this.choice?.finish;
    });
    this.#turn();
    for (let lighting = 0; lighting < orbit.lightings.length; lighting += 1) await this.#light(lighting);
    this.wall.prepare();
    frame.dataset.light = "all";
  }

  /** Fetches the light of a lighting, once. @param {number} lighting its place in the list */
  async #light(lighting) {
    if (!this.wall || this.wall.has(lighting)) return;
    /** @type {Container<import("./types").LightHead>} */
    const light = new Container(await fetched(this.orbit.lightings[lighting].light));
    if (!this.wall.has(lighting)) this.wall.addLight(lighting, light);
  }

  /** Places of the choice in the lists. */
  #places() {
    const { candidates, lightings } = this.orbit;
    const finish = candidates.findIndex((one) => one.key === this.choice?.finish);
    return { finish, lighting: lightings.findIndex((one) => one.key === this.choice?.lighting) };
  }

  /** @param {import("./types").Choice} choice */
  show(choice) {
    const moved = choice.view !== this.choice?.view || !this.shown;
    this.choice = choice;
    const { finish, lighting } = this.#places();
    const { candidates, lightings, views, words } = this.orbit;
    this.foot.textContent = words.foot
      .replace("{finish}", candidates[finish].name)
      .replace("{lighting}", lightings[lighting].name)
      .replace("{state}", candidates[finish].state);
    if (!this.view || this.asStill || this.why) this.#askStill();
    if (!this.view) return;
    if (moved) this.camera.look(views[choice.view]);
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
    const query = Object.entries({ ...this.choice, ...asked }).map(([name, value]) => [name, String(value)]);
    const address = `${this.orbit.still}&${new URLSearchParams(query)}`;
    if (this.image.getAttribute("src") === address) return;
    this.#say(this.orbit.words.still_coming);
    this.image.src = address;
    this.image.alt = this.foot.textContent ?? "";
  }

  #switchStill() {
    this.asStill = !this.asStill;
    this.switch.setAttribute("aria-pressed", String(this.asStill));
    this.#turn();
    if (this.asStill) this.#askStill();
  }

  #canvas() {
    const canvas = document.createElement("canvas");
    canvas.tabIndex = 0;
    const words = {
      role: "application",
      "aria-label": this.orbit.words.orbit_label,
      "aria-describedby": this.foot.id,
    };
    for (const [name, value] of Object.entries(words)) canvas.setAttribute(name, value);
    this.frame.append(canvas);
    return canvas;
  }

  /** The view stands there, but where the still is asked for. */
  #turn() {
    this.why = "";
    this.turning.hidden = false;
    this.switch.hidden = !this.orbit.still;
    if (this.canvas) this.canvas.hidden = this.asStill;
    this.#say("");
    if (this.choice) this.show(this.choice);
  }

  /** @param {string} why */
  #stillOnly(why) {
    if (this.canvas) this.canvas.hidden = true;
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
