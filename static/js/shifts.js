/**
 * Shifts within a pixel: the first two dimensions of Sobol's sequence (1967). After any power of two of them, both
 * columns and rows of that many strips hold one shift each, so vertical and horizontal edges come out even.
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
