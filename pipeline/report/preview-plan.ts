import type { FrameResult, GarmentResult, Results } from '../contracts/results.ts';
import { previewWindows, type Window } from './preview-windows.ts';

/** Which frames a garment's moving preview shows. */

/** A preview that jumps between a full length and a waist crop shows nothing: one crop, the widest with enough frames first. */
const previewCrops = ['full', 'knee', 'waist'] as const;
/** As a visitor walks around: views in this order. */
const viewOrder = ['front', 'three-quarter', 'side', 'back', 'unknown'];
/** Longer ones are too heavy for a page and tell no more. */
const mostFrames = 8;

export interface PreviewFrame {
  readonly frame: FrameResult;
  readonly window: Window;
}

/** At least two frames, or none. */
export function previewOf(garment: GarmentResult, results: Results): readonly PreviewFrame[] {
  const passing = results.frames.filter(
    ({ garment: id, verdict, measurement }) =>
      id === garment.id && verdict === 'pass' && (measurement?.people.subjects.length ?? 0) > 0,
  );
  const crop = previewCrops.find(
    (name) => passing.filter(({ measurement }) => measurement?.framing.crop === name).length >= 2,
  );
  if (crop === undefined) return [];
  const rank = ({ measurement }: FrameResult): number =>
    viewOrder.indexOf(measurement?.framing.view ?? 'unknown');
  const chosen = passing
    .filter(({ measurement }) => measurement?.framing.crop === crop)
    .sort((a, b) => rank(a) - rank(b))
    .slice(0, mostFrames);
  const windows = previewWindows(chosen, crop);
  return chosen.map((frame, index) => ({ frame, window: windows[index]! }));
}
