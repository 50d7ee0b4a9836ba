/** A pass over every pixel of a target; uniforms by name, as values or as those of another material. */
import { GLSL3, Mesh, OrthographicCamera, PlaneGeometry, Scene, ShaderMaterial } from "three";

const quad = new Mesh(new PlaneGeometry(2, 2));
quad.frustumCulled = false;
const stage = new Scene().add(quad);
const camera = new OrthographicCamera();

/** @param {import("./types").UniformValues} values @returns {import("./types").Uniforms} */
export const held = (values) =>
  Object.fromEntries(Object.entries(values).map(([name, value]) => [name, { value }]));

/**
 * @param {string} vertexShader
 * @param {string} fragmentShader
 * @param {import("./types").Uniforms} uniforms
 * @param {import("three").ShaderMaterialParameters} more
 */
export const shader = (vertexShader, fragmentShader, uniforms, more = {}) =>
  new ShaderMaterial({ glslVersion: GLSL3, vertexShader, fragmentShader, uniforms, ...more });

/**
 * @param {import("./types").Glsl} glsl
 * @param {string} fragment
 * @param {import("./types").UniformValues} values of its own
 * @param {import("./types").Uniforms} shared with other materials
 * @param {Record<string, number>} defines
 */
export const pass = (glsl, fragment, values, shared = {}, defines = {}) =>
  shader(
    glsl.cover,
    fragment,
    { ...held(values), ...shared },
    { defines, depthTest: false, depthWrite: false },
  );

/**
 * @param {import("three").WebGLRenderer} renderer
 * @param {ShaderMaterial} material
 * @param {import("three").WebGLRenderTarget | null} target null for the canvas
 */
export function draw(renderer, material, target) {
  quad.material = material;
  renderer.setRenderTarget(target);
  renderer.render(stage, camera);
}
