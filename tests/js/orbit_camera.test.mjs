import assert from "node:assert/strict";
import test from "node:test";
import { OrbitCamera } from "../../static/js/orbit_camera.js";

const SPACE = { min: [0.1, 0.1, 0.2], max: [4.1, 2.4, 3.9] };
const FRONT = { position: [2, 1.2, 3], target: [2, 1.2, 0], vertical_fov_deg: 40, aspect: 1.5 };
const near = (a, b) => a.forEach((value, k) => assert.ok(Math.abs(value - b[k]) < 1e-9, `${a} is not ${b}`));

test("a view is taken up exactly", () => {
  const camera = new OrbitCamera(SPACE);
  camera.look(FRONT);
  near(camera.position(), [2, 1.2, 3]);
  assert.equal(camera.verticalFov(1.5), 40);
});

test("turning keeps the distance while the room has space for it", () => {
  const camera = new OrbitCamera(SPACE);
  camera.look({ ...FRONT, position: [2, 1.2, 1.5] });
  camera.move({ turn: 0.4, tilt: 0.2 });
  const [x, y, z] = camera.position();
  assert.ok(Math.abs(Math.hypot(x - 2, y - 1.2, z) - 1.5) < 1e-9);
  assert.ok(x > 2 && y > 1.2, "to the right and up");
});

test("a wall round a corner is turned about from straight before it, to both sides", () => {
  const camera = new OrbitCamera(SPACE);
  for (const [facing, position] of [
    [-Math.PI / 2, [1, 1.2, 2]],
    [Math.PI, [3, 1.2, 1]],
  ]) {
    const ahead = [3, 1.2, facing === Math.PI ? 3 : 2];
    camera.look({ ...FRONT, position, target: ahead, facing });
    near(camera.position(), position);
    camera.move({ turn: -9 });
    const one = camera.turn;
    camera.move({ turn: 9 });
    assert.ok(Math.abs(one + camera.turn - 2 * facing) < 1e-9, "as far to one side as to the other");
    camera.walkTo(0.5);
    near(camera.target, ahead);
  }
});

test("no turn, tilt or step back leaves the room", () => {
  const camera = new OrbitCamera(SPACE);
  camera.look(FRONT);
  for (let step = 0; step < 400; step += 1) {
    camera.move({ turn: Math.sin(step * 1.7), tilt: Math.cos(step * 2.3), factor: 1.3 });
    camera.position().forEach((value, axis) => {
      assert.ok(value >= SPACE.min[axis] - 1e-9 || axis === 2, `axis ${axis}: ${value}`);
      assert.ok(value <= SPACE.max[axis] + 1e-9, `axis ${axis}: ${value}`);
    });
  }
});

test("a narrow canvas widens upwards, so the width of the view stays, up to 75 degrees", () => {
  const camera = new OrbitCamera(SPACE);
  camera.look(FRONT);
  const half = (degrees) => Math.tan((degrees * Math.PI) / 360);
  assert.ok(Math.abs(half(camera.verticalFov(1)) - half(40) * 1.5) < 1e-12);
  assert.equal(camera.verticalFov(0.2), 75);
  assert.equal(camera.verticalFov(3), 40);
});

test("every move is told", () => {
  const camera = new OrbitCamera(SPACE);
  let told = 0;
  camera.addEventListener("change", () => (told += 1));
  camera.look(FRONT);
  camera.move({ turn: 0.1 });
  camera.walkTo(1);
  assert.equal(told, 3);
  near([camera.target[0]], [1]);
});

test("a step nearer moves the camera even where the room keeps it nearer than it was asked to be", () => {
  const camera = new OrbitCamera(SPACE);
  camera.look({ ...FRONT, position: [2, 1.2, 3.9] });
  camera.move({ turn: 1.2 });
  const before = camera.position();
  camera.move({ factor: 1 / 1.12 });
  assert.ok(camera.position()[2] < before[2] - 0.01);
});
