/**
 * The light's tables, mixed for one finish, as textures: what was a handful of directions a point becomes the colour
 * that the point sends out, so that a pixel reads it by one or two look-ups.
 */
import {
  Data3DTexture,
  DataArrayTexture,
  DataTexture,
  DataUtils,
  FloatType,
  HalfFloatType,
  LinearFilter,
  NearestFilter,
  RGBAFormat,
  RGFormat,
  RedFormat,
} from "three";

export const LINE_STEPS = 2048;

const fromHalf = Float32Array.from({ length: 65536 }, (_, bits) => DataUtils.fromHalfFloat(bits));

/** Half floats as numbers. @param {Uint16Array} halves */
export function numbers(halves) {
  const found = new Float32Array(halves.length);
  for (let at = 0; at < halves.length; at += 1) found[at] = fromHalf[halves[at]];
  return found;
}

/**
 * Mixes directions to colours.
 *
 * @param {Float32Array} table (n, r)
 * @param {ArrayLike<number>} weights (r, 3) colour of each direction
 * @param {Uint16Array} into RGBA half floats
 * @param {(row: number) => number} [place] where a row goes; its own place by default
 */
export function mixInto(table, weights, into, place = (row) => row) {
  const r = weights.length / 3;
  for (let row = 0; row < table.length / r; row += 1) {
    let [red, green, blue] = [0, 0, 0];
    for (let k = 0; k < r; k += 1) {
      const value = table[row * r + k];
      red += value * weights[3 * k];
      green += value * weights[3 * k + 1];
      blue += value * weights[3 * k + 2];
    }
    const at = 4 * place(row);
    into[at] = DataUtils.toHalfFloat(Math.max(red, 0));
    into[at + 1] = DataUtils.toHalfFloat(Math.max(green, 0));
    into[at + 2] = DataUtils.toHalfFloat(Math.max(blue, 0));
  }
}

/** @template {DataArrayTexture | Data3DTexture} T @param {T} texture @returns {T} */
function smooth(texture) {
  texture.format = RGBAFormat;
  texture.type = HalfFloatType;
  texture.minFilter = LinearFilter;
  texture.magFilter = LinearFilter;
  texture.needsUpdate = true;
  return texture;
}

/**
 * Plane charts as layers, padded to the largest.
 *
 * @param {{shape: number[], table: Float32Array, weights: ArrayLike<number>}[]} layers shape (rows, columns, r)
 */
export function layersTexture(layers) {
  const height = Math.max(...layers.map(({ shape }) => shape[0]));
  const width = Math.max(...layers.map(({ shape }) => shape[1]));
  const data = new Uint16Array(4 * width * height * layers.length);
  layers.forEach(({ shape: [, columns], table, weights }, layer) => {
    const into = data.subarray(4 * width * height * layer);
    mixInto(table, weights, into, (row) => Math.floor(row / columns) * width + (row % columns));
  });
  return smooth(new DataArrayTexture(data, width, height, layers.length));
}

/**
 * A gap's table (across, along, nodes, r) as a volume: nodes, zone after zone, by along by across.
 *
 * @param {number[]} shape
 * @param {Float32Array} table
 * @param {ArrayLike<number>[]} zones weights of each zone
 */
export function gapTexture([across, along, nodes], table, zones) {
  const width = nodes * zones.length;
  const data = new Uint16Array(4 * width * along * across);
  zones.forEach((weights, zone) => {
    mixInto(table, weights, data, (row) => Math.floor(row / nodes) * width + zone * nodes + (row % nodes));
  });
  return smooth(new Data3DTexture(data, width, along, across));
}

/** Fractional line of each of LINE_STEPS places from the first to the last line. @param {ArrayLike<number>} lines */
export function inverseLines(lines) {
  const last = lines.length - 1;
  const span = lines[last] - lines[0];
  let lower = 0;
  return Array.from({ length: LINE_STEPS }, (_, step) => {
    if (last < 1) return 0;
    const at = lines[0] + (span * step) / (LINE_STEPS - 1);
    while (lower < last - 1 && lines[lower + 1] <= at) lower += 1;
    return Math.min(last, lower + (at - lines[lower]) / (lines[lower + 1] - lines[lower]));
  });
}

/** Pairs of numbers, ``width`` a row. @param {Float32Array} pairs @param {number} width */
export function pairsTexture(pairs, width) {
  const texture = new DataTexture(pairs, width, pairs.length / 2 / width, RGFormat, FloatType);
  texture.needsUpdate = true;
  return texture;
}

/** @param {ArrayLike<number>[]} all grid lines, a row each */
export function linesTexture(all) {
  const texture = new DataTexture(
    Float32Array.from(all.flatMap((lines) => inverseLines(lines))),
    LINE_STEPS,
    all.length,
    RedFormat,
    FloatType,
  );
  texture.minFilter = NearestFilter;
  texture.magFilter = NearestFilter;
  texture.needsUpdate = true;
  const ranges = all.flatMap((lines) => {
    const [first, last] = [lines[0], lines[lines.length - 1]];
    return [first, last > first ? last : first + 1];
  });
  return { texture, ranges: Float32Array.from(ranges) };
}
