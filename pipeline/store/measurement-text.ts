/**
 * The text of a measurement in the store. Most of it are swatches, which only a set that was never compared asks for: they are
 * parsed when they are first read. The text itself is kept, so that `results.json` takes it over as it stands.
 */
import type { Measurement } from '../contracts/measurement/measurement.ts';
import type { PlaceSwatches } from '../contracts/measurement/swatches.ts';
import type { StoredHead } from '../contracts/stored.ts';

type SwatchesAt = Extract<StoredHead, { ok: true }>['swatchesAt'];

const texts = new WeakMap<Measurement, Buffer>();

export function textOf(measurement: Measurement): { readonly text: string; readonly swatchesAt: SwatchesAt } {
  const text = JSON.stringify(measurement);
  const swatches = JSON.stringify(measurement.colour.swatches);
  // A quotation mark within a string is escaped, so this stands nowhere else.
  const key = '"swatches":';
  const before = text.slice(0, text.indexOf(`${key}${swatches}`) + key.length);
  const from = Buffer.byteLength(before);
  return { text, swatchesAt: [from, from + Buffer.byteLength(swatches)] };
}

/** @param text as it was stored. */
export function parseMeasurement(text: Buffer, [from, end]: SwatchesAt): Measurement {
  const utf8 = (start: number, stop: number): string => text.toString('utf8', start, stop);
  const measurement = JSON.parse(`${utf8(0, from)}[]${utf8(end, text.length)}`) as Measurement;
  Object.defineProperty(measurement.colour, 'swatches', {
    enumerable: true,
    configurable: true,
    get() {
      const value = JSON.parse(utf8(from, end)) as PlaceSwatches[];
      Object.defineProperty(this, 'swatches', { enumerable: true, value });
      return value;
    },
  });
  texts.set(measurement, text);
  return measurement;
}

/** JSON of a measurement, UTF-8; of one that came out of the store without writing it anew. */
export const jsonOf = (measurement: Measurement): Uint8Array =>
  texts.get(measurement) ?? Buffer.from(JSON.stringify(measurement));
