import { type FrameCheck, standardLevels } from '../../contracts/check.ts';
import { cutPlaces } from '../../contracts/measurement/people.ts';
import { notApplicable, observed } from '../observed.ts';

/** A frame that ends in a joint looks as if the limb ended there (common practice); cut feet look like a mistake. */
const joints: readonly string[] = ['knee', 'hip'];
const feet: readonly string[] = ['feet', 'ankle'];

const acceptedBut = (places: readonly string[]) => ({
  names: cutPlaces.filter((place) => !places.includes(place)),
  source: 'common practice',
});

export const cutAtJoint: FrameCheck = {
  level: 'frame',
  meta: {
    id: 'cut-at-joint',
    title: 'Cut at a joint',
    what: "Where the frame's lower edge cuts the model: through a joint or through the feet it looks like a mistake.",
    quantities: {
      feet: {
        bad: 'outside',
        unit: 'place',
        meaning: "where the frame's lower edge cuts: through feet or ankles",
        unless: 'the cut is elsewhere',
        severity: 'cleanup',
      },
      joint: {
        bad: 'outside',
        unit: 'place',
        meaning: "where the frame's lower edge cuts: through a knee or hip joint",
        unless: 'the cut is elsewhere',
        severity: 'note',
      },
    },
    levels: standardLevels,
  },
  observe: ({ measurement: { framing } }) => {
    if (framing.cutAt === null)
      return notApplicable('The lower edge does not cut the model, or it could not be told.');
    return observed(
      { quantity: 'feet', value: framing.cutAt, accepted: acceptedBut(feet), group: 'cut' },
      { quantity: 'joint', value: framing.cutAt, accepted: acceptedBut(joints), group: 'cut' },
    );
  },
  describe: ({ quantity, value }) =>
    quantity === 'feet'
      ? {
          title: 'Feet cut off',
          detail: `The lower edge cuts through the ${value === 'feet' ? 'feet' : 'ankles'}. Crop above the ankle, or shoot again with both feet and some ground in the frame.`,
        }
      : {
          title: 'Cut at a joint',
          detail: `The lower edge cuts through the ${value}. Crop a little above or below it.`,
        },
};
