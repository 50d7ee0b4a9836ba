/**
 * Places of the frames of a settled picture within its reconstruction filter: the first two dimensions of Sobol's
 * sequence (1967). After any power of two of them, both columns and rows of that many strips hold one shift each, so
 * vertical and horizontal edges come out even.
 */

/** @param {number} index from 0 @returns {[number, number]} each in [0, 1) */
export function shift(index) {
  let x = 0;
  let y = 0;
  let turned = 1 << 31;
  let direction = 1 << 31;
  for (let rest = index; rest > 0; rest >>>= 1) {
    if (rest & 1) {
      x ^= turned;
      y ^= direction;
    }
    turned >>>= 1;
    direction ^= direction >>> 1;
  }
  return [(x >>> 0) / 2 ** 32, (y >>> 0) / 2 ** 32];
}

/**
 * Place in a filter of three pixels: three means over a pixel one after the other, the quadratic B-spline.
 *
 * @param {number} u in (0, 1) @returns {number} pixels from its middle
 */
export function spline(u) {
  const rest = Math.min(u, 1 - u);
  let x = Math.cbrt(6 * rest) - 1.5;
  // between its bends the share to the left is 1/2 + 3 x / 4 - x^3 / 3: Newton
  if (x > -0.5) for (let n = 0; n < 4; n += 1) x -= (0.5 + 0.75 * x - x ** 3 / 3 - rest) / (0.75 - x * x);
  return u < 0.5 ? x : -x;
}
