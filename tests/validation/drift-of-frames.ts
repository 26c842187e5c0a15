/** Frames under a known change of light in the set that they are judged in. */
import { measureDrift, type SetFrame } from '../../pipeline/judge/drift.ts';
import { measureColour } from '../../pipeline/measure/colour.ts';
import { aMeasurement } from '../helpers/measurement.ts';
import type { Scene } from './scene.ts';

/** Changes of light: mired, Duv. */
export const changes = [
  [5, 0],
  [-5, 0],
  [15, 0],
  [-15, 0],
  [30, 0],
  [-30, 0],
  [60, 0],
  [-60, 0],
  [0, 0.01],
  [0, -0.01],
] as const;

/** What a relit frame has to read: 1.5 mired or 5 % about the truth, 2 mired where the light did not change. */
export const toleranceMired = (mired: number): number =>
  mired === 0 ? 2 : Math.max(1.5, 0.05 * Math.abs(mired));

export function setFrame(id: string, { image, regions, people }: Scene): SetFrame {
  return { id, measurement: aMeasurement({ colour: measureColour(image, regions, people) }) };
}

/** Drift of one frame in its set, mired and Duv; `null` where it could not be compared. */
export function driftIn(
  set: readonly SetFrame[],
  id: string,
): { readonly mired: number; readonly duv: number } | null {
  return measureDrift(set).frames.find(({ frame }) => frame === id) ?? null;
}
