import { colourSweeps } from './colour-sweep.ts';
import { demoKernels } from './demo-kernel-sweep.ts';
import { demoSweeps } from './demo-sweep.ts';
import {
  endsOfTheScale,
  exposureOfSettings,
  flashOverDistance,
  lightnessOfColours,
} from './exposure-sweep.ts';
import { flashBandDepth, flashBandReach, flashBandsFound } from './flash-band-sweep.ts';
import { softEyesOnPhotographs, stillGarmentOnPhotographs } from './graded-focus-sweep.ts';
import { knownKernelsOnPhotographs } from './known-kernel-sweep.ts';
import { motionOnPhotographs } from './moved-photographs-sweep.ts';
import { eyesOnPhotographs, garmentOnPhotographs } from './photographs-sweep.ts';
import { relightSweeps } from './relight-sweep.ts';
import {
  croppedOnPhotographs,
  relitAndCroppedOnPhotographs,
  relitOnPhotographs,
} from './relit-photographs-sweep.ts';
import {
  againstSlantedEdge,
  defocusDiscs,
  evenStars,
  gaussianEdges,
  motionDirection,
  motionLength,
} from './sharpness-sweep.ts';
import type { SweepPlan } from './sweep.ts';

/** Every sweep that needs nothing but the project and what `npm test` installs, in the order of the page and of the README's table. */
export const projectSweeps: readonly SweepPlan[] = [
  gaussianEdges,
  defocusDiscs,
  againstSlantedEdge,
  motionLength,
  motionDirection,
  evenStars,
  demoKernels,
  endsOfTheScale,
  lightnessOfColours,
  exposureOfSettings,
  flashOverDistance,
  flashBandsFound,
  flashBandDepth,
  flashBandReach,
  ...colourSweeps,
  ...relightSweeps,
  ...demoSweeps,
];

/** What is measured on labelled photographs of people, which the project has none of. */
const onPhotographs = [
  eyesOnPhotographs,
  garmentOnPhotographs,
  softEyesOnPhotographs,
  stillGarmentOnPhotographs,
  relitOnPhotographs,
  relitAndCroppedOnPhotographs,
  croppedOnPhotographs,
  knownKernelsOnPhotographs,
  motionOnPhotographs,
] as const;

/** @param labels the sheet that names the photographs of the folder */
export function photographSweeps(folder: string, labels: string): readonly SweepPlan[] {
  return onPhotographs.map((plan) => plan(folder, labels));
}
