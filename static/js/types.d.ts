// What the modules hand to each other, and what the server hands to them. Lengths in metres unless a name ends in _mm,
// light in lux and cd/m2, spectra 41 values from 380 to 780 nm, reflectances and shares from 0 to 1.

import type {
  Data3DTexture,
  DataArrayTexture,
  DataTexture,
  Group,
  ShaderMaterial,
  Texture,
  Vector3,
  WebGLRenderTarget,
} from "three";
import type { LightShading } from "./shading_light.js";

/** x right, y up, z out of the wall, in metres. */
export type Point = [number, number, number];
export type Numbers = ArrayLike<number>;

/** A camera's place and what it turns about. */
export interface View {
  position: Point;
  target: Point;
  /** above 0, below 180 */
  vertical_fov_deg: number;
  /** width over height for which the view was made */
  aspect: number;
  /** turn of a camera straight before the wall that is seen [radians]; left out, before the first */
  facing?: number;
}

/** A step of the camera: angles in radians to the right and up, and a factor above 0 on its distance. */
export interface Move {
  turn?: number;
  tilt?: number;
  factor?: number;
}

/** Half floats stay as their 16 bits. */
export type Values =
  Float32Array<ArrayBuffer> | Uint16Array<ArrayBuffer> | Int16Array<ArrayBuffer> | Int8Array<ArrayBuffer>;

/** An array of a container. */
export interface NamedArray {
  shape: number[];
  values: Values;
}

/** Head of a container; viewer/pages/orbit_container.py writes it. */
export interface ContainerHead {
  /** by name: half floats, floats or whole numbers, and the bytes from the end of the head to the first */
  arrays: Record<string, [kind: "f2" | "f4" | "i1" | "i2", shape: number[], offset: number]>;
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
  asked?: Record<string, string | number>;
}

/** Shaders from static/glsl; viewer/pages/orbit_shader.py puts them together. */
export interface Glsl {
  vertex: string;
  fragment: string;
  /** what the wall's coat mirrors */
  gloss: string;
  /** of grey things in the room */
  thingVertex: string;
  thing: string;
  lampVertex: string;
  lamp: string;
  /** of every pass over a whole target */
  cover: string;
  mean: string;
  show: string;
}

/** Sentences of a picture; viewer/pages/words.py writes them. */
export interface PictureWords {
  /** with places {finish}, {lighting} and {state} */
  foot: string;
  orbit_label: string;
  no_webgl: string;
  lost: string;
  light_coming: string;
  no_light: string;
  still_coming: string;
  still_failed: string;
}

/** The JSON block ``orbit-data`` of a page; viewer/pages/orbit_data.py writes it. */
export interface OrbitData {
  /** address of the wall as triangles and of the stems of every candidate */
  figure: string;
  glsl: Glsl;
  /** spectra of the paints that no finish changes, by paint */
  fixed: Record<number, number[]>;
  views: Record<string, View>;
  /** where the camera may stand */
  space: { min: Point; max: Point };
  /** finest_m is the width of a slat or of a gap, whichever is less */
  layout: { upright: boolean; finest_m: number };
  lightings: { key: string; name: string; light: string }[];
  candidates: Candidate[];
  /** address of a server-made still, to be completed with finish, lighting and view; none in a file */
  still?: string;
  words: PictureWords;
}

/** A lamp's face: its corners, anticlockwise where it shines, and its linear display values there. */
export interface Lamp {
  corners: Point[];
  shine: number[];
}

/** A lighting's container head; viewer/pages/orbit_light.py writes it. */
export interface LightHead extends ContainerHead {
  /** names, in the order that the shader counts them: group and number */
  charts: string[];
  /** which charts show which paints */
  layers: [chart: number, paint: number][];
  /** (3, 3) tristimulus to linear display values, adapted to the lighting's white and exposed */
  display: number[][];
  lamps: Lamp[];
  defines: Record<string, number>;
  uniforms: Record<string, number | number[]>;
}

/** Irradiance by places and directions, the last axis of its shape. */
export interface Table {
  shape: number[];
  table: Float32Array;
}

/** A table of a chart (rows, columns, r) with the colours (r, 3) of its directions. */
export interface Layer extends Table {
  weights: Float64Array;
}

/** A wall's gaps: a table (across, along, nodes, r) with the colours (r, 3) of its directions in each zone. */
export interface Gaps extends Table {
  zones: Float64Array[];
}

/** What a finish is under a lighting, for the wall's shader. */
export type FinishTextures = {
  chartLayers: DataTexture;
  chartTable: DataArrayTexture;
  sidesTable: Data3DTexture;
  baseTable: Data3DTexture;
  thingsTable?: DataArrayTexture;
};

export type UniformValue = number | number[] | Values | Texture | Vector3 | null;
export type UniformValues = Record<string, UniformValue>;
/** Values in holders, which materials share. */
export type Uniforms = Record<string, { value: UniformValue }>;

/** What stands in the scene under a lighting. */
export interface Lit {
  shading: LightShading;
  material: ShaderMaterial;
  things: ShaderMaterial;
  gloss: ShaderMaterial;
  lamps: Group;
}

/** Keys of what is chosen; things stand in the room, in the order of viewer/things.py. */
export interface Choice {
  finish: string;
  lighting: string;
  view: string;
  things?: string[];
}

/**
 * Paints the scene into a target; ``at`` is the frame's place in the reconstruction filter, two numbers in (0, 1), or
 * null for its middle, ``footprint`` the part of a pixel that the frame stands for, above 0 and at most 1.
 */
export type Paint = (target: WebGLRenderTarget, at: [number, number] | null, footprint: number) => void;

/** A part of a board: places in the lists of candidates and lightings. */
export interface Cell {
  element: HTMLElement;
  candidate: number;
  lighting: number;
}

/** A mark of the rod, from the left end of the wall; viewer/pages/job_view.py writes it. */
export interface Mark {
  at_mm: number;
  until_mm: number;
  words: string;
}

/** Sentences of the survey: how far keeping is, and a grip's place with {what}, {left} and {bottom}. */
export type SurveyWords = Record<"kept" | "keeping" | "waiting" | "refused" | "other" | "place", string>;

/** A finish that is tried on, null where it cannot be, and its readings as HTML; viewer/pages/finish.py writes it. */
export interface Tried {
  candidate: Candidate | null;
  reading: string;
}

/** How far the pictures of an offer are, counted; viewer/pages/offers.py writes it. */
export interface OfferState {
  done: number;
  wanted: number;
  words: string;
}
