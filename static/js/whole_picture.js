/** A pass over every pixel of a target. */
import { GLSL3, Mesh, OrthographicCamera, PlaneGeometry, Scene, ShaderMaterial } from "three";

/** @typedef {import("three").WebGLRenderTarget} Target */

const quad = new Mesh(new PlaneGeometry(2, 2));
quad.frustumCulled = false;
const stage = new Scene().add(quad);
const camera = new OrthographicCamera();

/** @param {string} fragmentShader @param {Record<string, {value: any}>} uniforms @param {Record<string, any>} [defines] */
export const pass = (fragmentShader, uniforms, defines = {}) =>
  new ShaderMaterial({
    glslVersion: GLSL3,
    vertexShader: "void main() { gl_Position = vec4(position.xy, 0.0, 1.0); }",
    fragmentShader,
    uniforms,
    defines,
    depthTest: false,
    depthWrite: false,
  });

/** @param {import("three").WebGLRenderer} renderer @param {ShaderMaterial} material @param {Target | null} target */
export function draw(renderer, material, target) {
  quad.material = material;
  renderer.setRenderTarget(target);
  renderer.render(stage, camera);
}
