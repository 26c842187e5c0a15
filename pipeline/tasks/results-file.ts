import { type Results, resultsSchema } from '../contracts/results.ts';
import { jsonOf } from '../store/measurement-text.ts';

/**
 * The results with their keys in the schema's order. Measurements are left as they are: each was checked when it was stored, and
 * they are nearly all of the data.
 * @throws ZodError where something breaks the contract.
 */
export function orderedResults(results: Results): Results {
  const bare = results.frames.map((frame) => ({ ...frame, measurement: null }));
  const parsed = resultsSchema.parse({ ...results, frames: bare });
  const frames = parsed.frames.map((frame, index) => ({
    ...frame,
    measurement: results.frames[index]!.measurement,
  }));
  return { ...parsed, frames };
}

/**
 * `results.json`: JSON with one garment or frame a line, so that a large day stays small enough to be read at once.
 * In pieces, as one block of a large day would be a hundred megabytes twice over.
 */
export function resultsFile({ garments, frames, ...rest }: Results): readonly Uint8Array[] {
  const comma = (index: number): string => (index === 0 ? '\n' : ',\n');
  const head = Object.entries(rest).map(([key, value]) => `"${key}": ${JSON.stringify(value)},\n`);
  const rows = garments.map((garment, index) => comma(index) + JSON.stringify(garment));
  return [
    Buffer.from(`{\n${head.join('')}"garments": [${rows.join('')}\n],\n"frames": [`),
    ...frames.flatMap(({ measurement, ...frame }, index) => [
      Buffer.from(`${comma(index)}${JSON.stringify(frame).slice(0, -1)},"measurement":`),
      measurement === null ? Buffer.from('null') : jsonOf(measurement),
      Buffer.from('}'),
    ]),
    Buffer.from('\n]\n}\n'),
  ];
}
