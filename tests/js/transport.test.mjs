import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";
import { columnTristimulus, directionTristimulus, indirect, solve } from "../../static/js/transport.js";

const vectors = JSON.parse(readFileSync(new URL("../data/relight-vectors.json", import.meta.url), "utf8"));
const systems = vectors.systems.map(({ vectors: count, answer, source }) => ({
  vectors: count,
  answer: answer.flat(2),
  source: source.flat(),
}));

/** Double precision on both sides; only the order of sums differs. */
function near(found, expected) {
  assert.equal(found.length, expected.length);
  expected.forEach((value, k) => {
    const off = Math.abs(found[k] - value);
    assert.ok(off <= 1e-11 * Math.max(1, Math.abs(value)), `value ${k}: ${found[k]} is not ${value}`);
  });
}

test("columns are those of the server's relight", () => {
  const columns = columnTristimulus(systems, vectors.by_class, vectors.spd, vectors.observer);
  near([...columns], vectors.columns.flat(2));
});

test("directions of a surface are those of the server's relight", () => {
  const columns = columnTristimulus(systems, vectors.by_class, vectors.spd, vectors.observer);
  near([...directionTristimulus(vectors.mix.flat(), columns, vectors.last)], vectors.directions.flat());
});

test("a system that needs another pivot is solved", () => {
  // 2y + z = 5, x + y = 3, 3x + z = 10
  const matrix = Float64Array.from([0, 2, 1, 1, 1, 0, 3, 0, 1]);
  near([...solve(matrix, Float64Array.from([5, 3, 10]))], [2.2, 0.8, 3.4]);
});

test("nothing reflected but by the room leaves only the room's own answer", () => {
  const k = 2;
  const system = {
    vectors: k,
    answer: [...Array(4 * k * k).fill(9), 0.5, 0, 0, 0.25],
    source: [...Array(4 * k).fill(9), 1, 3],
  };
  near([...indirect(system, [0, 0, 0, 0])], [2, 4]);
});
