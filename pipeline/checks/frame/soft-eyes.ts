import { notApplicable, sentence, unmeasured } from '../observed.ts';
import { observeBlur, softnessCheck } from '../softness.ts';
import { eyesHidden } from '../visible.ts';

/** Buyers look at the eyes first: they have to be sharp wherever they are seen. */
export const softEyes = softnessCheck(
  'soft-eyes',
  'Soft eyes',
  'Blur in the eyes at delivery size, wherever open eyes are seen.',
  'eyes',
  (frame) => {
    const { eyes, reason } = frame.measurement.sharpness;
    if (eyes !== null) return observeBlur(frame, 'eyes', eyes);
    const hidden = eyesHidden(frame.measurement);
    if (hidden !== null) return notApplicable(hidden);
    return unmeasured(
      'Eyes not measured',
      `${sentence(reason.eyes, 'The eyes could not be measured')} Look at the eyes at 100 %.`,
    );
  },
);
