// What the modules hand to each other. Lengths in metres, light in lux and cd/m2, spectra 41 values from 380 to 780 nm.

export type Point = [number, number, number];
export type Numbers = ArrayLike<number>;

/** A camera's place and what it turns about. */
export interface View {
  position: Point;
  target: Point;
  vertical_fov_deg: number;
  /** width over height for which the view was made */
  aspect: number;
}

/** An array of a container: half floats stay as their 16 bits. */
export interface NamedArray {
  shape: number[];
  values: Float32Array | Uint16Array | Int16Array | Int8Array;
}

/** One lamp's system: K vectors, answer (S, K, K), source (S, K); the last class is the room, reflectance 1. */
export interface Reduced {
  vectors: number;
  answer: Numbers;
  source: Numbers;
}

export interface Candidate {
  key: string;
  name: string;
  /** Indicative or Measured */
  state: string;
  /** how the timber grows, see figure.glsl */
  figure: { growth: number[]; knots: number[] };
  /** by paint, spectra of early wood, late wood and knots, or one of the whole; none where no finish changes it */
  zones: number[][][];
  /** its clear coat: reflectance, width of slopes, matt share; what comes out of the wood by the cosine */
  coat: { surface: number[]; body: number[] } | null;
  /** mean spectra of the classes that light meets on its way */
  classes: number[][];
  /** base64 of its stems, where it is tried on and stands in no container */
  stems?: string;
  /** what asks the server for it, where it is tried on */
  asked?: Record<string, string>;
}

/** The JSON block ``orbit-data`` of a page; viewer/pages/orbit_data.py writes it. */
export interface OrbitData {
  /** address of the wall as triangles and of the stems of every candidate */
  figure: string;
  /** texts of shaders by name, from static/glsl */
  glsl: Record<string, string>;
  /** spectra of the paints that no finish changes */
  fixed: Record<string, number[]>;
  views: Record<string, View>;
  /** where the camera may stand */
  space: { min: Point; max: Point };
  layout: { upright: boolean; finest_m: number };
  lightings: { key: string; name: string; light: string }[];
  candidates: Candidate[];
  /** address of a server-made still, to be completed with finish, lighting and view; none in a file */
  still?: string;
  /** sentences of the page */
  words: Record<string, string>;
}

/** A lighting's container head; viewer/pages/orbit_light.py writes it. */
export interface LightHead {
  /** names, in the order that the shader counts them: group and number */
  charts: string[];
  /** which charts show which paints */
  layers: [number, number][];
  display: number[][];
  lamps: { corners: Point[]; shine: number[] }[];
  defines: Record<string, number>;
  uniforms: Record<string, number | number[]>;
}

export interface Choice {
  finish: string;
  lighting: string;
  view: string;
}

/**
 * Paints the scene into a target; ``at`` is the frame's place in the reconstruction filter, two numbers in (0, 1), or
 * null for its middle, ``footprint`` the part of a pixel that the frame stands for.
 */
export type Paint = (
  target: import("three").WebGLRenderTarget,
  at: [number, number] | null,
  footprint: number,
) => void;

/** A part of a board. */
export interface Cell {
  element: HTMLElement;
  candidate: number;
  lighting: number;
}

/** A mark of the rod. */
export interface Mark {
  at_mm: number;
  until_mm: number;
  words: string;
}

// What stands in a page is known by its template: parts are taken as what they are there.
declare global {
  interface ParentNode {
    querySelector(what: string): any;
    querySelectorAll(what: string): NodeListOf<any>;
  }
  interface Element {
    closest(what: string): any;
  }
  interface NonElementParentNode {
    getElementById(id: string): any;
  }
  interface Document {
    getElementById(id: string): any;
  }
  interface Event {
    target: any;
  }
}
