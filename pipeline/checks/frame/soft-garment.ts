import { notApplicable, sentence, unmeasured, unmeasuredNote } from '../observed.ts';
import { observeBlur, softnessCheck } from '../softness.ts';
import { noSubject } from '../visible.ts';

/** Plain cloth may have no edges to measure: the face, at much the same distance, then stands in and the reader is told. */
export const softGarment = softnessCheck(
  'soft-garment',
  'Soft garment',
  'Blur on the cloth at delivery size: the garment is what is sold.',
  'garment',
  (frame) => {
    const { eyes, face, garment, reason } = frame.measurement.sharpness;
    if (garment !== null) return observeBlur(frame, 'garment', garment);
    if (noSubject(frame.measurement)) return notApplicable('No model was found.');
    const why = sentence(reason.garment, 'The cloth could not be measured');
    return eyes !== null || face !== null
      ? unmeasuredNote('Garment sharpness not measured', `${why} The face stands in for it.`)
      : unmeasured('Garment sharpness not measured', `${why} Look at the cloth at 100 %.`);
  },
);
