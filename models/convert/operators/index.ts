import type { Emitter } from '../emit.ts';
import { arithmetic } from './arithmetic.ts';
import { selection } from './selection.ts';
import { shapes } from './shape.ts';
import { spatial } from './spatial.ts';

/** Every TensorFlow operator the converter knows. What is not here stops the conversion. */
export const operators: Readonly<Record<string, Emitter>> = {
  ...arithmetic,
  ...selection,
  ...shapes,
  ...spatial,
};
