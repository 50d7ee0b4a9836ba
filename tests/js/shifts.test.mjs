import assert from "node:assert/strict";
import test from "node:test";
import { shift, spline } from "../../static/js/shifts.js";

test("the sequence starts as Sobol's does", () => {
  const start = Array.from({ length: 8 }, (_, index) => shift(index));
  assert.deepEqual(start, [
    [0, 0],
    [0.5, 0.5],
    [0.25, 0.75],
    [0.75, 0.25],
    [0.125, 0.625],
    [0.625, 0.125],
    [0.375, 0.375],
    [0.875, 0.875],
  ]);
});

test("every power of two of shifts has one in each column and each row of its strips", () => {
  for (const count of [2, 8, 32, 64]) {
    const shifts = Array.from({ length: count }, (_, index) => shift(index));
    for (const axis of [0, 1]) {
      assert.equal(new Set(shifts.map((one) => Math.floor(one[axis] * count))).size, count);
    }
  }
});

test("the wide filter is the quadratic B-spline", () => {
  // its share to the left of x, integrated by hand: (x + 3/2)^3 / 6, then 1/2 + 3 x / 4 - x^3 / 3
  const share = (x) => (x < -0.5 ? (x + 1.5) ** 3 / 6 : 0.5 + 0.75 * x - x ** 3 / 3);
  for (let step = 1; step < 200; step += 1) {
    const u = step / 400;
    assert.ok(Math.abs(share(spline(u)) - u) < 1e-9, `${u}`);
    assert.ok(Math.abs(spline(1 - u) + spline(u)) < 1e-12);
  }
});
