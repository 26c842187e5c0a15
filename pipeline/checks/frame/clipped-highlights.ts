import { type FrameCheck, type Observation, standardLevels } from '../../contracts/check.ts';
import { notApplicable, sentence, unmeasured } from '../observed.ts';
import { noSubject } from '../visible.ts';
import { against } from '../words.ts';

/**
 * Detail lost at the ceiling does not come back. Points of light on buttons, sequins and jewellery are told from lost cloth by
 * their size and do not count. Where only one channel is clipped, as on strongly coloured cloth in the sun, the other two still
 * carry the folds: that can be mended. Where two are, the shade itself is gone.
 */
export const clippedHighlights: FrameCheck = {
  level: 'frame',
  meta: {
    id: 'clipped-highlights',
    title: 'Clipped highlights',
    what: "Cloth or skin with a channel at the ceiling of the file's own encoding: detail lost there does not come back.",
    quantities: {
      lostCloth: {
        bad: 'above',
        unit: 'share',
        meaning:
          'share of the garment in clipped patches (one channel or more) too large to be points of light',
        levels: ['cleanup', 'reject'],
      },
      largestPatch: {
        bad: 'above',
        unit: 'share',
        meaning: 'largest connected clipped patch as a share of the garment',
        levels: ['cleanup', 'reject'],
      },
      twoChannels: {
        bad: 'above',
        unit: 'share',
        meaning: 'share of the garment that is clipped in two channels or more within such patches',
        levels: ['cleanup', 'reject'],
      },
      skin: {
        bad: 'above',
        unit: 'share',
        meaning: 'share of the skin that is clipped in one channel or more',
        levels: ['note', 'cleanup'],
      },
    },
    levels: standardLevels,
  },
  observe: ({ measurement }) => {
    const { exposure, capture } = measurement;
    const { clippedShare, reason } = exposure;
    const flash = capture.flashFired === true;
    if (clippedShare.garment === null && !noSubject(measurement)) {
      return unmeasured(
        'Highlights not judged',
        `${sentence(reason['clippedShare.garment'] ?? reason.garment ?? reason.clippedShare, 'The garment was not found in the frame')} Look at the cloth for burnt-out parts.`,
      );
    }
    const onGarment = {
      group: 'garment',
      data: { texture: exposure.largestClippedBlobTexture, flash },
      ...(exposure.largestClippedBlobBox && { region: exposure.largestClippedBlobBox }),
    };
    const values = [
      ['lostCloth', exposure.lostClothShare],
      ['largestPatch', exposure.largestClippedBlobShare],
      ['twoChannels', exposure.lostClothTwoShare],
    ] as const;
    const observations: Observation[] = values.flatMap(([quantity, value]) =>
      value === null ? [] : [{ ...onGarment, quantity, value }],
    );
    if (clippedShare.skin !== null) {
      observations.push({ quantity: 'skin', value: clippedShare.skin, data: { flash } });
    }
    return observations.length === 0 ? notApplicable('No model was found.') : { observations };
  },
  describe: ({ quantity, value, data }, { limit, severity }) => {
    const shown = against(Number(value), Number(limit), 'share');
    const lessLight = data?.flash
      ? 'less flash power or a smaller aperture'
      : 'less exposure, or turn the model out of the hard light';
    if (quantity === 'skin') {
      return {
        title: 'Clipped highlights on the skin',
        detail: `${shown.value} of the skin is clipped, more than the ${shown.limit} limit. Next time use ${lessLight}.`,
      };
    }
    const measured = {
      lostCloth: `${shown.value} of the garment is lost in clipped patches`,
      largestPatch: `One clipped patch covers ${shown.value} of the garment`,
      twoChannels: `${shown.value} of the garment is lost in patches clipped in two channels or more`,
    }[quantity];
    const remedy =
      severity === 'reject'
        ? `Shoot again with ${lessLight}.`
        : 'Develop the camera file again with less exposure; if the detail is gone there too, choose another frame.';
    return {
      title: 'Clipped highlights on the garment',
      detail: `${measured}, more than the ${shown.limit} limit. ${leftIn(data?.texture)}${remedy}`,
    };
  },
};

/** The smallest step that an 8-bit file holds: below it nothing is drawn. */
const faintestTexture = 1;

function leftIn(texture: string | number | boolean | null | undefined): string {
  if (typeof texture !== 'number') return '';
  return texture < faintestTexture
    ? 'The largest patch is blank. '
    : 'In the largest patch the channel clipped least still shows the cloth. ';
}
