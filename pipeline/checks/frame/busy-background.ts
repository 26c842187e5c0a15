import { type FrameCheck, standardLevels } from '../../contracts/check.ts';
import { atDeliveryPx } from '../delivery-size.ts';
import { notApplicable, observed } from '../observed.ts';
import { amount } from '../words.ts';

export const busyBackground: FrameCheck = {
  level: 'frame',
  meta: {
    id: 'busy-background',
    title: 'Background as sharp as the model',
    what: "The background's blur against that of the sharpest part of the model: a background just as sharp draws the eye from the garment.",
    quantities: {
      blurRatio: {
        bad: 'below',
        unit: 'times',
        meaning: "the background's blur divided by the blur of the model's sharpest measured part",
        levels: ['note', 'cleanup'],
      },
    },
    levels: standardLevels,
  },
  observe: (frame) => {
    const { eyes, face, garment, background } = frame.measurement.sharpness;
    const parts = [eyes, face, garment].flatMap((part) => (part === null ? [] : [part.blurSigmaPx]));
    const subject = Math.min(...parts);
    if (background === null || !Number.isFinite(subject)) {
      return notApplicable('Background or model has too few edges to compare.');
    }
    // A part blurred by exactly nothing has no ratio; a thousandth of a px is far below what can be measured.
    const value = background.blurSigmaPx / Math.max(subject, 0.001);
    return observed({
      quantity: 'blurRatio',
      value,
      data: {
        backgroundPx: atDeliveryPx(frame, background.blurSigmaPx),
        subjectPx: atDeliveryPx(frame, subject),
        fNumber: frame.measurement.capture.fNumber,
      },
    });
  },
  describe: ({ data }) => ({
    title: 'Background as sharp as the model',
    detail:
      `Blur of the background is ${amount(Number(data?.backgroundPx), 'px')} at delivery size, that of the model ${amount(Number(data?.subjectPx), 'px')}. ` +
      `${typeof data?.fNumber === 'number' && data.fNumber > 4 ? `Open up from ${amount(data.fNumber, 'f-number')} to f/2.8 to f/4, or move` : 'Move'} the model further from what is behind.`,
  }),
};
