/**
 * Reads an ICC profile (ICC.1:2010 = ISO 15076-1, and version 2): header, description, and the matrix and curves
 * of an RGB or grey profile. Values are left as stored: colorants are XYZ relative to the D50 white of the
 * profile connection space.
 */
import type { Triple } from './colour/matrix3.ts';

/** Device code 0..1 to linear light 0..1. */
export type ToneCurve = (code: number) => number;

export interface IccProfile {
  /** Four characters, blanks removed: `RGB`, `GRAY`, `CMYK`, `Lab` ... */
  readonly space: string;
  /** `XYZ` or `Lab`: what the profile converts to. */
  readonly connection: string;
  /** As stored: may hold any character. */
  readonly description: string | null;
  /** The profile holds a table from device to connection space, which wins over matrix and curves. */
  readonly hasTable: boolean;
  /** XYZ (D50) of the red, green and blue primaries; `null` unless all three are there. */
  readonly colorants: readonly [Triple, Triple, Triple] | null;
  /** One curve for grey, three for RGB; `null` where one is missing or of an unknown kind. */
  readonly curves: readonly ToneCurve[] | null;
}

export type ParsedIcc =
  | { readonly ok: true; readonly profile: IccProfile }
  | { readonly ok: false; readonly problem: string };

const headerBytes = 128;
/** Well above any real profile (the registered ones have fewer than 30); a larger count is damage. */
const maxTags = 200;

export function parseIcc(bytes: Uint8Array): ParsedIcc {
  if (bytes.length < headerBytes + 4) return { ok: false, problem: 'it is shorter than its own header' };
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (text(bytes, 36, 4) !== 'acsp')
    return { ok: false, problem: 'it lacks the signature of an ICC profile' };
  if (view.getUint32(0) > bytes.length) return { ok: false, problem: 'it is cut off before its end' };
  const tags = readTags(view, bytes);
  if (tags === null) return { ok: false, problem: 'its table of contents is damaged' };

  const space = text(bytes, 16, 4).trim();
  const curveTags = space === 'GRAY' ? ['kTRC'] : ['rTRC', 'gTRC', 'bTRC'];
  const curves = curveTags.map((tag) => readCurve(tags.get(tag)));
  const colorants = ['rXYZ', 'gXYZ', 'bXYZ'].map((tag) => readXyz(tags.get(tag)));
  return {
    ok: true,
    profile: {
      space,
      connection: text(bytes, 20, 4).trim(),
      description: readDescription(tags.get('desc')),
      hasTable: ['A2B0', 'A2B1', 'A2B2'].some((tag) => tags.has(tag)),
      colorants: isComplete(colorants) ? (colorants as unknown as [Triple, Triple, Triple]) : null,
      curves: isComplete(curves) ? curves : null,
    },
  };
}

function isComplete<T>(values: readonly (T | null)[]): values is readonly T[] {
  return values.every((value) => value !== null);
}

function text(bytes: Uint8Array, start: number, length: number): string {
  return String.fromCharCode(...bytes.subarray(start, start + length));
}

function readTags(view: DataView, bytes: Uint8Array): Map<string, DataView> | null {
  const count = view.getUint32(headerBytes);
  if (count > maxTags || headerBytes + 4 + count * 12 > bytes.length) return null;
  const tags = new Map<string, DataView>();
  for (let i = 0; i < count; i++) {
    const entry = headerBytes + 4 + i * 12;
    const offset = view.getUint32(entry + 4);
    const size = view.getUint32(entry + 8);
    if (offset + size > bytes.length || size < 8) return null;
    tags.set(text(bytes, entry, 4), new DataView(bytes.buffer, bytes.byteOffset + offset, size));
  }
  return tags;
}

function signature(tag: DataView): string {
  return text(new Uint8Array(tag.buffer, tag.byteOffset, 4), 0, 4);
}

function fixed(tag: DataView, offset: number): number {
  return tag.getInt32(offset) / 65536;
}

function readXyz(tag: DataView | undefined): Triple | null {
  if (tag === undefined || tag.byteLength < 20 || signature(tag) !== 'XYZ ') return null;
  return [fixed(tag, 8), fixed(tag, 12), fixed(tag, 16)];
}

/** `textDescriptionType` of version 2 (ASCII part) or `multiLocalizedUnicodeType` of version 4 (first record). */
function readDescription(tag: DataView | undefined): string | null {
  if (tag === undefined || tag.byteLength < 12) return null;
  const bytes = new Uint8Array(tag.buffer, tag.byteOffset, tag.byteLength);
  const kind = signature(tag);
  if (kind === 'desc') {
    const end = Math.min(12 + tag.getUint32(8), bytes.length);
    return new TextDecoder('latin1').decode(bytes.subarray(12, end)).replace(/\0.*$/s, '');
  }
  if (kind !== 'mluc' || tag.byteLength < 28 || tag.getUint32(8) === 0) return null;
  const length = tag.getUint32(20);
  const offset = tag.getUint32(24);
  if (offset + length > bytes.length) return null;
  return new TextDecoder('utf-16be').decode(bytes.subarray(offset, offset + length)).replace(/\0.*$/s, '');
}

function readCurve(tag: DataView | undefined): ToneCurve | null {
  if (tag === undefined || tag.byteLength < 12) return null;
  if (signature(tag) === 'curv') return readSampledCurve(tag);
  if (signature(tag) === 'para') return readParametricCurve(tag);
  return null;
}

function readSampledCurve(tag: DataView): ToneCurve | null {
  const count = tag.getUint32(8);
  if (count === 0) return (code) => code;
  if (12 + count * 2 > tag.byteLength) return null;
  if (count === 1) {
    const gamma = tag.getUint16(12) / 256;
    return (code) => code ** gamma;
  }
  const samples = Float64Array.from({ length: count }, (_, i) => tag.getUint16(12 + i * 2) / 65535);
  return (code) => {
    const at = Math.min(Math.max(code, 0), 1) * (count - 1);
    const below = Math.min(Math.floor(at), count - 2);
    const low = samples[below] as number;
    return low + ((samples[below + 1] as number) - low) * (at - below);
  };
}

/** How many parameters each function type of `parametricCurveType` has (ICC.1:2010, table 65). */
const parameterCounts = [1, 3, 4, 5, 7] as const;

function readParametricCurve(tag: DataView): ToneCurve | null {
  const kind = tag.getUint16(8);
  const count = parameterCounts[kind];
  if (count === undefined || 12 + count * 4 > tag.byteLength) return null;
  const [g = 1, a = 1, b = 0, c = 0, d = 0, e = 0, f = 0] = Array.from({ length: count }, (_, i) =>
    fixed(tag, 12 + i * 4),
  );
  const power = (x: number): number => Math.max(a * x + b, 0) ** g;
  if (kind === 0) return (x) => x ** g;
  if (kind === 1) return (x) => (x >= -b / a ? power(x) : 0);
  if (kind === 2) return (x) => (x >= -b / a ? power(x) + c : c);
  if (kind === 3) return (x) => (x >= d ? power(x) : c * x);
  return (x) => (x >= d ? power(x) + e : c * x + f);
}
