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

type Piece = string | Uint8Array;

/**
 * `results.json`: JSON with one garment or frame a line, so that a large day stays small enough to be read at once.
 * Bytes piece by piece: one string of a large day would be a hundred megabytes twice over.
 */
export function resultsFile({ garments, frames, ...rest }: Results): Uint8Array {
  const lines = (rows: readonly (readonly Piece[])[]): Piece[] =>
    rows.flatMap((row, index) => [index === 0 ? '\n' : ',\n', ...row]);
  const pieces: readonly Piece[] = [
    '{\n',
    ...Object.entries(rest).map(([key, value]) => `"${key}": ${JSON.stringify(value)},\n`),
    '"garments": [',
    ...lines(garments.map((garment) => [JSON.stringify(garment)])),
    '\n],\n"frames": [',
    ...lines(
      frames.map(({ measurement, ...frame }) => [
        `${JSON.stringify(frame).slice(0, -1)},"measurement":`,
        measurement === null ? 'null' : jsonOf(measurement),
        '}',
      ]),
    ),
    '\n]\n}\n',
  ];
  return Buffer.concat(pieces.map((piece) => (typeof piece === 'string' ? Buffer.from(piece) : piece)));
}
