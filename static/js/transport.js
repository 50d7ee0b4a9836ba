/**
 * A finish put on: the same small systems that the server solves for its stills (relight.py), wavelength by
 * wavelength, then mixed to the few directions that the tables hold. Plain arrays, no renderer.
 *
 *   (I − Σ ρ_s A_s) c = Σ ρ_s b_s      K × K, for each lamp and wavelength
 *
 * Columns: for each lamp its direct light, then its K basis vectors.
 */

/**
 * Solves a x = b by Gauss with partial pivoting; both are used up.
 *
 * @param {Float64Array} a (n, n)
 * @param {Float64Array} b (n)
 * @returns {Float64Array} x, in place of b
 */
export function solve(a, b) {
  const n = b.length;
  for (let column = 0; column < n; column += 1) {
    let pivot = column;
    for (let row = column + 1; row < n; row += 1)
      if (Math.abs(a[row * n + column]) > Math.abs(a[pivot * n + column])) pivot = row;
    for (let k = column; k < n; k += 1)
      [a[pivot * n + k], a[column * n + k]] = [a[column * n + k], a[pivot * n + k]];
    [b[pivot], b[column]] = [b[column], b[pivot]];
    for (let row = column + 1; row < n; row += 1) {
      const factor = a[row * n + column] / a[column * n + column];
      for (let k = column + 1; k < n; k += 1) a[row * n + k] -= factor * a[column * n + k];
      b[row] -= factor * b[column];
    }
  }
  for (let row = n - 1; row >= 0; row -= 1) {
    for (let k = row + 1; k < n; k += 1) b[row] -= a[row * n + k] * b[k];
    b[row] /= a[row * n + row];
  }
  return b;
}

/**
 * Indirect light of one lamp in its basis.
 *
 * @param {import("./types").Reduced} system
 * @param {number[]} reflectance by class (S − 1), each from 0 to 1; the room's is 1
 * @returns {Float64Array} (K)
 */
export function indirect({ vectors: k, answer, source }, reflectance) {
  const matrix = new Float64Array(k * k);
  const right = new Float64Array(k);
  for (let row = 0; row < k; row += 1) matrix[row * k + row] = 1;
  [...reflectance, 1].forEach((rho, s) => {
    for (let at = 0; at < k * k; at += 1) matrix[at] -= rho * answer[s * k * k + at];
    for (let at = 0; at < k; at += 1) right[at] += rho * source[s * k + at];
  });
  return solve(matrix, right);
}

/**
 * Tristimulus of each column at each wavelength, before the last reflection.
 *
 * @param {import("./types").Reduced[]} systems one a lamp
 * @param {number[][]} byClass (S − 1, w) reflectances of the classes that light meets on its way
 * @param {number[][]} spd (lamps, w) of any scale
 * @param {number[][]} observer (w, 3) of any scale
 * @returns {Float64Array} (columns, w, 3)
 */
export function columnTristimulus(systems, byClass, spd, observer) {
  const bands = observer.length;
  const columns = systems.reduce((sum, one) => sum + 1 + one.vectors, 0);
  const found = new Float64Array(columns * bands * 3);
  let start = 0;
  systems.forEach((system, lamp) => {
    const whole = observer.reduce((sum, xyz, band) => sum + xyz[1] * spd[lamp][band], 0);
    observer.forEach((xyz, band) => {
      const rho = byClass.map((row) => row[band]);
      [1, ...indirect(system, rho)].forEach((value, column) => {
        for (let k = 0; k < 3; k += 1)
          found[((start + column) * bands + band) * 3 + k] = (value * xyz[k] * spd[lamp][band]) / whole;
      });
    });
    start += 1 + system.vectors;
  });
  return found;
}

/**
 * What each direction of a group counts for on a surface.
 *
 * @param {import("./types").Numbers} mix (r, columns)
 * @param {Float64Array} columns (columns, w, 3)
 * @param {number[]} reflectance (w) of the surface
 * @returns {Float64Array} (r, 3) tristimulus
 */
export function directionTristimulus(mix, columns, reflectance) {
  const bands = reflectance.length;
  const count = columns.length / (3 * bands);
  const seen = new Float64Array(count * 3);
  columns.forEach((value, at) => {
    const band = Math.floor(at / 3) % bands;
    seen[3 * Math.floor(at / (3 * bands)) + (at % 3)] += (value * reflectance[band]) / Math.PI;
  });
  const found = new Float64Array((mix.length / count) * 3);
  for (let at = 0; at < mix.length; at += 1)
    for (let k = 0; k < 3; k += 1)
      found[3 * Math.floor(at / count) + k] += mix[at] * seen[3 * (at % count) + k];
  return found;
}
