import { measureFrame } from '../measure/measure-frame.ts';
import { measurementVersion } from '../measure/version.ts';
import type { MeasureStep } from './measure-frame.ts';

/** The product's own measuring. Importing it loads the networks' runtime and the picture library: only for what really measures. */
export const measureStep: MeasureStep = { version: measurementVersion(), measure: measureFrame };
