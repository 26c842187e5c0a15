import { createHash } from 'node:crypto';
import { type Measurement, measurementSchema } from '../../pipeline/contracts/measurement/measurement.ts';
import { minimalValue } from './minimal-value.ts';

/** A measurement that the schema accepts and that depends on nothing but the bytes: for tests of everything around measuring. */
export function fakeMeasurement(bytes: Uint8Array): Measurement {
  const contentHash = createHash('sha256').update(bytes).digest('hex');
  const emptiest = minimalValue(measurementSchema) as unknown as Measurement;
  return measurementSchema.parse({
    ...emptiest,
    contentHash,
    file: { ...emptiest.file, bytes: bytes.byteLength, width: 1000 + (bytes[0] ?? 0), height: 1500 },
    likeness: { ...emptiest.likeness, dhash64: contentHash.slice(0, 16) },
  });
}
