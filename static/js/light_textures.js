/**
 * The light's tables as textures: half-float arrays whose layers hold four directions each, and the grid lines turned
 * round, so that a place gives its fractional line by one look-up.
 */
import {
  ClampToEdgeWrapping,
  DataArrayTexture,
  DataTexture,
  FloatType,
  HalfFloatType,
  LinearFilter,
  NearestFilter,
  RGBAFormat,
  RedFormat,
} from "three";

export const LINE_STEPS = 2048;

/**
 * Tables (rows, columns, r) of one group as layers: chart by chart, four directions a layer, padded to the largest.
 *
 * @param {{shape: number[], values: ArrayLike<number>}[]} tables
 */
export function tableTexture(tables) {
  const height = Math.max(...tables.map(({ shape }) => shape[0]));
  const width = Math.max(...tables.map(({ shape }) => shape[1]));
  const tiles = Math.ceil(tables[0].shape[2] / 4);
  const data = new Uint16Array(width * height * 4 * tiles * tables.length);
  tables.forEach(({ shape: [rows, columns, r], values }, chart) => {
    for (let row = 0; row < rows; row += 1) {
      for (let column = 0; column < columns; column += 1) {
        for (let k = 0; k < r; k += 1) {
          const layer = chart * tiles + (k >> 2);
          data[((layer * height + row) * width + column) * 4 + (k & 3)] =
            values[(row * columns + column) * r + k];
        }
      }
    }
  });
  const texture = new DataArrayTexture(data, width, height, tiles * tables.length);
  texture.format = RGBAFormat;
  texture.type = HalfFloatType;
  texture.minFilter = LinearFilter;
  texture.magFilter = LinearFilter;
  texture.wrapS = ClampToEdgeWrapping;
  texture.wrapT = ClampToEdgeWrapping;
  texture.needsUpdate = true;
  return { texture, size: [width, height], tiles };
}

/**
 * A gap's table (across, along, nodes, r) as rows along and columns station by station, each with all its nodes.
 *
 * @param {{shape: number[], values: ArrayLike<number>}} table
 */
export function grooveTable({ shape: [across, along, nodes, r], values }) {
  const turned = new Uint16Array(values.length);
  for (let a = 0; a < across; a += 1) {
    for (let b = 0; b < along; b += 1) {
      for (let at = 0; at < nodes * r; at += 1) {
        turned[(b * across + a) * nodes * r + at] = values[(a * along + b) * nodes * r + at];
      }
    }
  }
  return { shape: [along, across * nodes, r], values: turned };
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
