/**
 * The wall in its room as a scene: one mesh, the light of each lighting, one candidate's colours and figure at a time.
 * Whoever draws it chooses candidate and lighting before each picture.
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
  RGBAFormat,
  Scene,
  ShaderMaterial,
} from "three";
import { spline } from "./shifts.js";
import { STEM_NUMBERS } from "./figure.js";
import { LightShading, facings } from "./shading_light.js";
import { fragmentShader, lampFragment, lampVertex, vertexShader } from "./wall_shader.js";

export class WallScene {
  /**
   * @param {import("./orbit_data.js").OrbitData} orbit
   * @param {import("./glb_reader.js").Wall} wall
   * @param {import("./container.js").Container} figure stems of every candidate
   */
  constructor(orbit, wall, figure) {
    this.orbit = orbit;
    this.grain = {
      stems: { value: /** @type {DataTexture | null} */ (null) },
      growth: { value: [1, 0, 1, 1] },
      knots: { value: [0, 0, 0] },
      footprint: { value: 1 },
    };
    /** where in the reconstruction filter the frame is drawn; see wall_shader.js */
    this.filter = {
      even: { value: [0, 0] },
      wide: { value: [0, 0] },
      focal: { value: 1 },
      finest: { value: orbit.layout.finest_m },
      upright: { value: Number(orbit.layout.upright) },
    };
    this.stems = orbit.candidates.map((candidate, number) =>
      stemsTexture(candidate.stems ? unpacked(candidate.stems) : figure.get(String(number))),
    );
    /** @type {Map<number, {shading: LightShading, material: ShaderMaterial, lamps: Group}>} by lighting */
    this.lights = new Map();
    this.facing = facings(wall);
    this.mesh = new Mesh(geometry(wall, orbit));
    this.mesh.frustumCulled = false;
    this.scene = new Scene();
  }

  /** The light of a lighting has come. @param {number} lighting @param {import("./container.js").Container} light */
  addLight(lighting, light) {
    const shading = new LightShading(light, this.orbit.surfaces, this.facing);
    const material = new ShaderMaterial({
      glslVersion: GLSL3,
      vertexShader: vertexShader(this.orbit.surfaces),
      fragmentShader: fragmentShader(shading.glsl, this.orbit.surfaces),
      uniforms: { ...shading.uniforms, ...this.grain, ...this.filter },
    });
    this.lights.set(lighting, { shading, material, lamps: lampGroup(light, this.filter) });
  }

  /** @param {number} lighting */
  has(lighting) {
    return this.lights.has(lighting);
  }

  /**
   * What the next picture is a frame of: ``at`` as in ``Paint``.
   *
   * @param {number} width @param {number} height pixels @param {number} fov_deg
   * @param {[number, number] | null} at @param {number} footprint
   */
  frame(width, height, fov_deg, at, footprint) {
    const [x, y] = at ?? [0.5, 0.5];
    this.filter.even.value = [(2 * x - 1) / width, (2 * y - 1) / height];
    this.filter.wide.value = [(2 * spline(x)) / width, (2 * spline(y)) / height];
    this.filter.focal.value = height / 2 / Math.tan((fov_deg * Math.PI) / 360);
    this.grain.footprint.value = footprint;
  }

  /** Put on a candidate under a lighting whose light is there: small systems, a few hundred numbers. @param {number} candidate @param {number} lighting */
  choose(candidate, lighting) {
    const light = this.lights.get(lighting);
    if (!light) throw new Error(`the light of ${lighting} has not come`);
    const chosen = this.orbit.candidates[candidate];
    light.shading.show(chosen);
    this.grain.stems.value = this.stems[candidate];
    this.grain.growth.value = chosen.figure.growth;
    this.grain.knots.value = chosen.figure.knots;
    this.mesh.material = light.material;
    this.scene.clear().add(this.mesh, light.lamps);
  }

  /** A finish that is tried on took a candidate's place. @param {number} place */
  replace(place) {
    this.stems[place].dispose();
    this.stems[place] = stemsTexture(unpacked(this.orbit.candidates[place].stems ?? ""));
  }

  /** Solve the other candidates while nothing else is to be done, so that choosing one takes a single frame. */
  prepare() {
    const waiting = [...this.lights.values()].flatMap(({ shading }) =>
      this.orbit.candidates.map((candidate) => () => shading.prepare(candidate)),
    );
    const next = () => {
      waiting.shift()?.();
      if (waiting.length > 0) setTimeout(next);
    };
    setTimeout(next);
  }

  dispose() {
    this.mesh.geometry.dispose();
    for (const texture of this.stems) texture.dispose();
    for (const { shading, material } of this.lights.values()) {
      shading.dispose();
      material.dispose();
    }
  }
}

/** @param {string} text base64 of sixteen numbers a slat */
function unpacked(text) {
  const bytes = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
  const values = new Float32Array(bytes.buffer);
  return { shape: [values.length / STEM_NUMBERS], values };
}

/** Sixteen numbers a slat as four texels. @param {import("./container.js").NamedArray} stems */
function stemsTexture({ shape, values }) {
  const data = Float32Array.from(values);
  const texture = new DataTexture(data, STEM_NUMBERS / 4, shape[0], RGBAFormat, FloatType);
  texture.needsUpdate = true;
  return texture;
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
  const { upright, fabric_z_m } = orbit.layout;
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

/**
 * The lamps' faces, as bright as they are.
 *
 * @param {import("./container.js").Container} light @param {WallScene["filter"]} filter
 */
function lampGroup(light, { even }) {
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
        uniforms: { shine: { value: shine }, even },
        side: DoubleSide,
      });
      group.add(new Mesh(made, material));
    },
  );
  return group;
}
