/**
 * The picture of the job: a server-made still first, then the orbit view over it; the still again on request, while the
 * graphics are lost, or where there is no WebGL. Says at its foot what it shows.
 */
import { Container } from "./container.js";
import { fetched, loadWall, withThings } from "./load.js";
import { listen } from "./orbit_input.js";

/**
 * What is chosen by the inputs.
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
  const ticked = /** @type {NodeListOf<HTMLInputElement>} */ (
    within.querySelectorAll("input[name=with]:checked")
  );
  const things = Array.from(ticked, ({ value }) => value);
  return { finish: of("finish"), lighting: of("lighting"), view: of("view"), things };
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
    this.bare = orbit;
    /** with the chosen things in the room */
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
    const { frame } = this;
    const { words } = this.bare;
    if (!document.createElement("canvas").getContext("webgl2")) {
      this.#stillOnly(words.no_webgl);
      return;
    }
    try {
      const [{ OrbitView }, wall] = await Promise.all([import("./orbit_view.js"), this.#loaded()]);
      this.wall = wall;
      this.canvas = this.#canvas();
      this.view = new OrbitView(this.canvas, wall, this.camera);
      listen(this.canvas, this.turning, this.camera);
    } catch (error) {
      this.#stillOnly(words.no_webgl);
      throw error;
    }
    this.view.addEventListener("lost", () => this.#stillOnly(words.lost));
    this.view.addEventListener("back", () => this.#turn());
    this.view.addEventListener("rest", () => (frame.dataset.state = "rest"));
    this.view.addEventListener("drawn", () => {
      frame.dataset.state = "drawing";
      frame.dataset.shown = this.choice?.finish;
    });
    this.#turn();
    await (this.wall.orbit === this.orbit ? this.#lightAll(this.wall) : this.#furnish());
  }

  /**
   * The wall with the things that are chosen by then, in the chosen light.
   *
   * @returns {Promise<import("./wall_scene.js").WallScene>}
   */
  async #loaded() {
    const { orbit } = this;
    const wall = await loadWall(orbit);
    await this.#light(wall, this.#places().lighting);
    return orbit === this.orbit ? wall : this.#loaded();
  }

  /** Fetches the light of a lighting, once. @param {import("./wall_scene.js").WallScene} wall @param {number} lighting */
  async #light(wall, lighting) {
    if (wall.has(lighting)) return;
    /** @type {Container<import("./types").LightHead>} */
    const light = new Container(await fetched(wall.orbit.lightings[lighting].light));
    if (!wall.has(lighting)) wall.addLight(lighting, light);
  }

  /** The other lightings, as long as this wall stands. @param {import("./wall_scene.js").WallScene} wall */
  async #lightAll(wall) {
    for (let lighting = 0; lighting < this.orbit.lightings.length; lighting += 1) {
      await this.#light(wall, lighting);
      if (wall !== this.wall) return;
    }
    wall.prepare();
    this.frame.dataset.light = "all";
  }

  /** Other things stand in the room: another wall takes the place of the one that turns. */
  async #furnish() {
    const { words } = this.bare;
    this.#say(words.light_coming);
    delete this.frame.dataset.light;
    try {
      const wall = await this.#loaded();
      this.view?.replace(wall);
      this.wall = wall;
      if (!this.why) this.#turn();
      await this.#lightAll(wall);
    } catch (error) {
      this.#say(words.no_light);
      throw error;
    }
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
    const things = choice.things ?? [];
    const furnished = things.join() !== (this.choice?.things ?? []).join();
    this.choice = choice;
    if (furnished) this.orbit = withThings(this.bare, things);
    const { finish, lighting } = this.#places();
    const { candidates, lightings, views, words } = this.orbit;
    this.foot.textContent = words.foot
      .replace("{finish}", candidates[finish].name)
      .replace("{lighting}", lightings[lighting].name)
      .replace("{state}", candidates[finish].state);
    if (!this.view || this.asStill || this.why) this.#askStill();
    if (!this.view) return;
    if (furnished) this.#furnish();
    if (moved) this.camera.look(views[choice.view]);
    this.shown = true;
    if (!this.wall || this.wall.has(lighting)) {
      this.view.show(finish, lighting);
      return;
    }
    this.#say(words.light_coming);
    this.#light(this.wall, lighting).then(
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
    const { finish, lighting, view } = this.choice;
    const query = Object.entries({ finish, lighting, view, ...asked }).map(([name, value]) => [
      name,
      String(value),
    ]);
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
