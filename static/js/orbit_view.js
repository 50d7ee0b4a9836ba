/**
 * The orbit view: the wall's mesh, one shading a lighting, one candidate's coefficients. Drawn on demand only.
 *
 * Events: "drawn" after each frame, "rest" when the picture has settled, "lost" when the graphics context is gone.
 */
import {
  BufferAttribute,
  BufferGeometry,
  DataTexture,
  DoubleSide,
  FloatType,
  GLSL3,
  Group,
  Mesh,
  PerspectiveCamera,
  RGBAFormat,
  Scene,
  ShaderMaterial,
  WebGLRenderer,
} from "three";
import { Accumulator } from "./accumulator.js";
import { STEM_NUMBERS } from "./figure.js";
import { FirstShading, shadeGlsl as firstGlsl } from "./shading_first.js";
import { LightShading, shadeGlsl as lightGlsl } from "./shading_light.js";
import { fragmentShader, lampFragment, lampVertex, vertexShader } from "./wall_shader.js";

const MOST_PIXELS_PER_POINT = 2;
const NEAR_M = 0.02;
const FAR_M = 150;

/** @typedef {FirstShading | LightShading} Shading */

export class OrbitView extends EventTarget {
  /**
   * @param {HTMLCanvasElement} canvas
   * @param {import("./orbit_data.js").OrbitData} orbit
   * @param {import("./orbit_camera.js").OrbitCamera} camera
   * @param {import("./glb_reader.js").Wall} wall
   * @param {import("./container.js").Container} figure stems of every candidate
   */
  constructor(canvas, orbit, camera, wall, figure) {
    super();
    this.canvas = canvas;
    this.orbit = orbit;
    this.orbitCamera = camera;
    this.figure = figure;
    this.renderer = new WebGLRenderer({ canvas, antialias: false, powerPreference: "high-performance" });
    this.accumulator = new Accumulator(this.renderer);
    this.camera = new PerspectiveCamera(50, 1, NEAR_M, FAR_M);
    this.stems = new DataTexture(
      new Float32Array(orbit.slats.length * STEM_NUMBERS),
      STEM_NUMBERS / 4,
      orbit.slats.length,
      RGBAFormat,
      FloatType,
    );
    /** shared by all shadings: what the figure reads */
    this.grain = {
      stems: { value: this.stems },
      growth: { value: [1, 0, 1, 1] },
      knots: { value: [0, 0, 0] },
      footprint: { value: 1 },
    };
    /** @type {{shading: Shading, material: ShaderMaterial, lamps: Group, exact: boolean}[]} */
    this.lights = orbit.lightings.map((_, lighting) =>
      this.#light(new FirstShading(orbit, lighting), firstGlsl),
    );
    this.mesh = new Mesh(geometry(wall, orbit), this.lights[0].material);
    this.mesh.frustumCulled = false;
    this.scene = new Scene().add(this.mesh);
    this.chosen = { candidate: 0, lighting: 0 };
    this.waiting = 0;
    this.listening = new AbortController();
    const { signal } = this.listening;
    canvas.addEventListener("webglcontextlost", (event) => this.#lost(event), { signal });
    camera.addEventListener("change", () => this.redraw(), { signal });
    this.sizes = new ResizeObserver(() => this.#resize());
    this.sizes.observe(canvas);
    this.#resize();
  }

  /** @param {Shading} shading @param {string} glsl @param {Group} [lamps] */
  #light(shading, glsl, lamps = new Group()) {
    const material = new ShaderMaterial({
      glslVersion: GLSL3,
      vertexShader,
      fragmentShader: fragmentShader(glsl, this.orbit.surfaces),
      uniforms: { ...shading.uniforms, ...this.grain },
    });
    return { shading, material, lamps, exact: shading instanceof LightShading };
  }

  /** The server's light of one lighting has come: shade by it from now on. @param {number} lighting @param {import("./container.js").Container} light */
  useLight(lighting, light) {
    const before = this.lights[lighting];
    this.lights[lighting] = this.#light(
      new LightShading(light, this.orbit.surfaces),
      lightGlsl,
      lampGroup(light),
    );
    before.shading.dispose();
    before.material.dispose();
    this.show(this.chosen.candidate, this.chosen.lighting);
  }

  /** Is the lighting shaded by the server's light, or still by the first shading? @param {number} lighting */
  isExact(lighting) {
    return this.lights[lighting].exact;
  }

  /** Show one candidate under one lighting: small systems and a few hundred numbers, one frame. @param {number} candidate @param {number} lighting */
  show(candidate, lighting) {
    const chosen = this.orbit.candidates[candidate];
    const { shading, material, lamps } = this.lights[lighting];
    shading.show(chosen);
    this.stems.image.data = this.figure.get(String(candidate)).values;
    this.stems.needsUpdate = true;
    this.grain.growth.value = chosen.figure.growth;
    this.grain.knots.value = chosen.figure.knots;
    this.mesh.material = material;
    this.scene.clear().add(this.mesh, lamps);
    this.chosen = { candidate, lighting };
    this.redraw();
  }

  redraw() {
    this.accumulator.restart();
    if (!this.waiting) this.waiting = requestAnimationFrame(() => this.#draw());
  }

  #draw() {
    this.waiting = 0;
    const { camera, orbitCamera } = this;
    camera.aspect = this.canvas.width / this.canvas.height;
    camera.fov = orbitCamera.verticalFov(camera.aspect);
    camera.position.set(...orbitCamera.position());
    camera.lookAt(...orbitCamera.target);
    camera.updateProjectionMatrix();
    this.accumulator.frame(this.scene, camera, this.grain.footprint);
    this.dispatchEvent(new Event("drawn"));
    if (this.accumulator.done) this.dispatchEvent(new Event("rest"));
    else this.waiting = requestAnimationFrame(() => this.#draw());
  }

  #resize() {
    const points = Math.min(devicePixelRatio, MOST_PIXELS_PER_POINT);
    const { clientWidth, clientHeight } = this.canvas;
    if (clientWidth === 0 || clientHeight === 0) return;
    this.renderer.setPixelRatio(points);
    this.renderer.setSize(clientWidth, clientHeight, false);
    this.accumulator.resize(this.canvas.width, this.canvas.height);
    this.redraw();
  }

  /** @param {Event} event */
  #lost(event) {
    event.preventDefault();
    cancelAnimationFrame(this.waiting);
    this.dispatchEvent(new Event("lost"));
  }

  dispose() {
    cancelAnimationFrame(this.waiting);
    this.listening.abort();
    this.sizes.disconnect();
    this.accumulator.dispose();
    this.mesh.geometry.dispose();
    this.stems.dispose();
    for (const { shading, material } of this.lights) {
      shading.dispose();
      material.dispose();
    }
    this.renderer.dispose();
  }
}

/** @param {import("./glb_reader.js").Wall} wall @param {import("./orbit_data.js").OrbitData} orbit */
function geometry(wall, orbit) {
  const made = new BufferGeometry();
  made.setAttribute("position", new BufferAttribute(wall.position, 3));
  made.setAttribute("normal", new BufferAttribute(wall.normal, 3));
  made.setAttribute("surface", new BufferAttribute(wall.surface, 1));
  made.setAttribute("slat", new BufferAttribute(wall.slat, 1));
  made.setAttribute("place", new BufferAttribute(places(wall, orbit), 3));
  made.setIndex(new BufferAttribute(wall.index, 1));
  return made;
}

/** Millimetres across, out of and along its slat of each corner. @param {import("./glb_reader.js").Wall} wall @param {import("./orbit_data.js").OrbitData} orbit */
function places(wall, orbit) {
  const { upright, fabric_z_m } = orbit.groove;
  const found = new Float32Array(wall.position.length);
  wall.slat.forEach((slat, corner) => {
    if (slat < 0) return;
    const [x, y, z] = wall.position.subarray(3 * corner, 3 * corner + 3);
    const [middle, start] = orbit.slats[slat];
    const [across, along] = upright ? [x, y] : [y, x];
    found.set(
      [across - middle, z - fabric_z_m, along - start].map((metres) => 1000 * metres),
      3 * corner,
    );
  });
  return found;
}

/** The lamps' faces, as bright as they are. @param {import("./container.js").Container} light */
function lampGroup(light) {
  const { head } = light;
  const group = new Group();
  const observer = light.get("observer").values;
  const spd = light.get("spd").values;
  head.lamps.forEach(
    (/** @type {{corners: number[][], luminance: number}} */ lamp, /** @type {number} */ number) => {
      const xyz = [0, 0, 0];
      for (let band = 0; band < 41; band += 1) {
        for (let k = 0; k < 3; k += 1) xyz[k] += spd[number * 41 + band] * observer[band * 3 + k];
      }
      const shine = head.display.map((/** @type {number[]} */ row) =>
        Math.max(
          0,
          row.reduce((sum, factor, k) => sum + factor * (xyz[k] / xyz[1]) * lamp.luminance, 0),
        ),
      );
      const made = new BufferGeometry();
      const world = lamp.corners.map(([a, b, z]) => (head.level ? [b, a, z] : [a, b, z]));
      made.setAttribute("position", new BufferAttribute(Float32Array.from(world.flat()), 3));
      // the swap of a level wall's frame is a mirror: it turns the order round
      made.setIndex(head.level ? [0, 2, 1, 0, 3, 2] : [0, 1, 2, 0, 2, 3]);
      const material = new ShaderMaterial({
        glslVersion: GLSL3,
        vertexShader: lampVertex,
        fragmentShader: lampFragment,
        uniforms: { shine: { value: shine } },
        side: DoubleSide,
      });
      group.add(new Mesh(made, material));
    },
  );
  return group;
}
