/** A pass over every pixel of a target; uniforms by name, as values or as those of another material. */
import { GLSL3, Mesh, OrthographicCamera, PlaneGeometry, Scene, ShaderMaterial } from "three";

const quad = new Mesh(new PlaneGeometry(2, 2));
quad.frustumCulled = false;
const stage = new Scene().add(quad);
const camera = new OrthographicCamera();

export const held = (values) =>
  Object.fromEntries(Object.entries(values).map(([name, value]) => [name, { value }]));

export const shader = (vertexShader, fragmentShader, uniforms, more = {}) =>
  new ShaderMaterial({ glslVersion: GLSL3, vertexShader, fragmentShader, uniforms, ...more });

export const pass = (glsl, fragment, values, shared = {}, defines = {}) =>
  shader(
    glsl.cover,
    fragment,
    { ...held(values), ...shared },
    { defines, depthTest: false, depthWrite: false },
  );

/** @param {import("three").WebGLRenderer} renderer @param {ShaderMaterial} material @param {import("three").WebGLRenderTarget | null} target */
export function draw(renderer, material, target) {
  quad.material = material;
  renderer.setRenderTarget(target);
  renderer.render(stage, camera);
}
