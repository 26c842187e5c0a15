import { notApplicable, sentence, unmeasured } from '../observed.ts';
import { observeBlur, softnessCheck } from '../softness.ts';
import { faceHidden } from '../visible.ts';

export const softFace = softnessCheck(
  'soft-face',
  'Soft face',
  'Blur in the face at delivery size, wherever a face is seen; eyes that are sharper stand for it.',
  'face',
  (frame) => {
    const { eyes, face, reason } = frame.measurement.sharpness;
    // Smooth skin has few clear edges: sharp eyes show that the face they are in is in focus.
    if (face !== null)
      return observeBlur(frame, 'face', eyes !== null && eyes.blurSigmaPx < face.blurSigmaPx ? eyes : face);
    const hidden = faceHidden(frame.measurement);
    if (hidden !== null) return notApplicable(hidden);
    if (eyes !== null) return notApplicable('The eyes were measured and stand for the face.');
    return unmeasured(
      'Face not measured',
      `${sentence(reason.face, 'The face could not be measured')} Look at the face at 100 %.`,
    );
  },
);
