/**
 * The orbit view: the wall's mesh, the light's basis, one candidate's coefficients. Drawn on demand only.
 *
 * Events: "drawn" after each frame, "rest" when the picture has settled, "lost" when the graphics context is gone.
 */
import {
  BufferAttribute,
  BufferGeometry,
  DataTexture,
  FloatType,
  GLSL3,
  Mesh,
  PerspectiveCamera,
  RGBAFormat,
  Scene,
  ShaderMaterial,
  WebGLRenderer,
} from "three";
import { Accumulator } from "./accumulator.js";
import { BASIS_COUNT, basisGlsl, basisValues, coefficients } from "./shading_first.js";
import { fragmentShader, vertexShader } from "./wall_shader.js";

const MOST_PIXELS_PER_POINT = 2;
const NEAR_M = 0.02;
const FAR_M = 150;

export class OrbitView extends EventTarget {
  /**
   * @param {HTMLCanvasElement} canvas
   * @param {import("./orbit_data.js").OrbitData} orbit
   * @param {import("./orbit_camera.js").OrbitCamera} camera
   * @param {import("./glb_reader.js").Wall} wall
   */
  constructor(canvas, orbit, camera, wall) {
    super();
    this.canvas = canvas;
    this.orbit = orbit;
    this.orbitCamera = camera;
    this.renderer = new WebGLRenderer({ canvas, antialias: false, powerPreference: "high-performance" });
    this.accumulator = new Accumulator(this.renderer);
    this.camera = new PerspectiveCamera(50, 1, NEAR_M, FAR_M);
    this.table = new DataTexture(
      new Float32Array(BASIS_COUNT * 2 * orbit.surfaces.length * 4),
      BASIS_COUNT,
      2 * orbit.surfaces.length,
      RGBAFormat,
      FloatType,
    );
    this.material = this.#material();
    this.mesh = new Mesh(geometry(wall), this.material);
    this.mesh.frustumCulled = false;
    this.scene = new Scene().add(this.mesh);
    this.waiting = 0;
    this.listening = new AbortController();
    const { signal } = this.listening;
    canvas.addEventListener("webglcontextlost", (event) => this.#lost(event), { signal });
    camera.addEventListener("change", () => this.redraw(), { signal });
    this.sizes = new ResizeObserver(() => this.#resize());
    this.sizes.observe(canvas);
    this.#resize();
  }

  #material() {
    return new ShaderMaterial({
      glslVersion: GLSL3,
      vertexShader,
      fragmentShader: fragmentShader(basisGlsl, BASIS_COUNT, this.orbit.surfaces),
      uniforms: {
        coefficients: { value: this.table },
        exposure: { value: 1 },
        lateShare: { value: 0.3 },
        boardSeed: { value: 0 },
        runAlongY: { value: this.orbit.groove.upright ? 0 : 1 },
        ...Object.fromEntries(
          Object.entries(basisValues(this.orbit, 0)).map(([name, value]) => [name, { value }]),
        ),
      },
    });
  }

  /** Show one candidate under one lighting: a few hundred numbers, one frame. @param {number} candidate @param {number} lighting */
  show(candidate, lighting) {
    const { orbit, material } = this;
    const chosen = orbit.candidates[candidate];
    const colours = chosen.colours[orbit.lightings[lighting].key];
    this.table.image.data = coefficients(colours, orbit.groove, orbit.surfaces);
    this.table.needsUpdate = true;
    for (const [name, value] of Object.entries(basisValues(orbit, lighting)))
      material.uniforms[name].value = value;
    material.uniforms.exposure.value = orbit.lightings[lighting].exposure;
    material.uniforms.lateShare.value = colours.slat_front.late_share;
    material.uniforms.boardSeed.value = chosen.seed;
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
    this.accumulator.frame(this.scene, camera);
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
    this.material.dispose();
    this.table.dispose();
    this.renderer.dispose();
  }
}

/** @param {import("./glb_reader.js").Wall} wall */
function geometry(wall) {
  const made = new BufferGeometry();
  made.setAttribute("position", new BufferAttribute(wall.position, 3));
  made.setAttribute("normal", new BufferAttribute(wall.normal, 3));
  made.setAttribute("surface", new BufferAttribute(wall.surface, 1));
  made.setAttribute("slat", new BufferAttribute(wall.slat, 1));
  made.setIndex(new BufferAttribute(wall.index, 1));
  return made;
}
