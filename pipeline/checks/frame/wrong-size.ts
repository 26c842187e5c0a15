import { type FrameCheck, standardLevels } from '../../contracts/check.ts';
import { longEdgePx } from '../delivery-size.ts';
import { observed } from '../observed.ts';
import { amount } from '../words.ts';

/** A smaller frame has to be enlarged, which adds no detail. A larger one is reduced and is no fault. */
export const wrongSize: FrameCheck = {
  level: 'frame',
  meta: {
    id: 'wrong-size',
    title: 'Frame too small',
    what: "The frame's long edge against the long edge the store asks for.",
    quantities: {
      longEdge: {
        bad: 'below',
        unit: 'times',
        meaning: "the frame's long edge divided by the delivery's long edge",
        levels: ['cleanup', 'reject'],
      },
    },
    levels: standardLevels,
  },
  observe: (frame) => {
    const { width, height } = frame.measurement.file;
    return observed({
      quantity: 'longEdge',
      value: longEdgePx(frame) / frame.delivery.longEdgePx,
      shown: { factor: frame.delivery.longEdgePx, unit: 'px' },
      data: { width, height, wantedPx: frame.delivery.longEdgePx },
    });
  },
  describe: ({ data }, { severity }) => ({
    title: 'Frame too small',
    detail:
      `The frame is ${data?.width} x ${data?.height} px; the store asks for a long edge of ${data?.wantedPx} px. ` +
      (severity === 'reject'
        ? 'Export it again at full size; if the camera file is no larger, shoot again.'
        : `Export it again from the camera file at ${amount(Number(data?.wantedPx), 'px', 6)} or more.`),
  }),
};
