import { type FrameCheck, type Observation, standardLevels } from '../../contracts/check.ts';
import type { colourSpaces } from '../../contracts/measurement/file.ts';
import { sentence } from '../observed.ts';
import { listing } from '../words.ts';

const spaceNames: Readonly<Record<(typeof colourSpaces)[number], string>> = {
  srgb: 'sRGB',
  'adobe-rgb': 'Adobe RGB (1998)',
  'display-p3': 'Display P3',
  'prophoto-rgb': 'ProPhoto RGB',
  grey: 'greyscale',
  cmyk: 'CMYK',
  other: 'an unusual colour space',
  untagged: 'no colour profile',
};
const nameOf = (space: string): string => new Map(Object.entries(spaceNames)).get(space) ?? space;

/** For a thing that has to be there, whoever the store is. */
const needed = { names: ['usable'], source: 'ICC.1 (ISO 15076-1): a profile has to describe its space' };

/**
 * The colour space as the embedded profile's numbers describe it, never by its name. A missing profile is a note: browsers show
 * such a picture as sRGB (W3C CSS Color 4). It is more where the camera says that the numbers are not sRGB.
 */
export const wrongColourProfile: FrameCheck = {
  level: 'frame',
  meta: {
    id: 'wrong-colour-profile',
    title: 'Colour profile not accepted',
    what: 'The colour space the embedded profile describes against those the store accepts; a missing, broken or misnamed profile.',
    quantities: {
      colourSpace: {
        bad: 'outside',
        unit: 'colour space',
        meaning: 'the colour space the embedded profile describes',
        unless: 'the store accepts it (`delivery.colourSpaces`)',
        severity: 'cleanup',
      },
      profile: {
        bad: 'outside',
        unit: 'colour space',
        meaning: 'an embedded profile that cannot be used',
        unless: 'it can be used',
        severity: 'cleanup',
      },
      cameraSpace: {
        bad: 'outside',
        unit: 'colour space',
        meaning: 'the colour space the camera recorded, in a file without a profile',
        unless: 'the store accepts it, or the camera does not say',
        severity: 'cleanup',
      },
      missingProfile: {
        bad: 'outside',
        unit: 'colour space',
        meaning: 'a file without a colour profile',
        unless: 'the store accepts untagged files',
        severity: 'note',
      },
      profileName: {
        bad: 'outside',
        unit: 'colour space',
        meaning: 'a profile whose name claims another space than it describes',
        unless: 'name and content agree',
        severity: 'note',
      },
    },
    levels: standardLevels,
  },
  observe: ({ measurement: { file }, delivery }) => {
    const accepted = delivery.colourSpaces;
    const common = {
      group: 'profile',
      data: {
        described: nameOf(file.colourSpace),
        named: file.colourProfile,
        misnamed: file.profileNameAgrees === false,
        problem: file.profileProblem,
      },
    };
    const observations: Observation[] = [];
    if (file.profileProblem !== null) {
      observations.push({ ...common, quantity: 'profile', value: 'not usable', accepted: needed });
    } else if (file.colourSpace === 'untagged') {
      observations.push({ ...common, quantity: 'missingProfile', value: 'untagged', accepted });
      // "Uncalibrated" says only that it is not sRGB or was not set down; cameras write it for Adobe RGB too, so it decides nothing.
      if (file.cameraColourSpace === 'adobe-rgb') {
        observations.push({ ...common, quantity: 'cameraSpace', value: 'adobe-rgb', accepted });
      }
    } else {
      observations.push({ ...common, quantity: 'colourSpace', value: file.colourSpace, accepted });
      if (file.profileNameAgrees !== null) {
        const value = file.profileNameAgrees ? 'usable' : 'misnamed';
        observations.push({ ...common, quantity: 'profileName', value, accepted: needed });
      }
    }
    return { observations };
  },
  describe: ({ quantity, data }, { limit }) => {
    const wanted = listing(String(limit).split(', ').map(nameOf), 'or');
    const misnamed = `The profile is named "${data?.named}" but describes ${data?.described}.`;
    switch (quantity) {
      case 'profile':
        return {
          title: 'Colour profile broken',
          detail: `${sentence(String(data?.problem), '')} The colours were read as sRGB: export the file again with a standard profile.`,
        };
      case 'cameraSpace':
        return {
          title: 'Colour profile missing',
          detail: `The camera recorded ${nameOf('adobe-rgb')}, but the file carries no profile, so shops show it too dull. Convert it from ${nameOf('adobe-rgb')} and embed the profile (${wanted}).`,
        };
      case 'missingProfile':
        return {
          title: 'Colour profile missing',
          detail: `The file carries no colour profile, so shops show it as sRGB. Export it again with the profile embedded (${wanted}).`,
        };
      case 'profileName':
        return {
          title: 'Colour profile misnamed',
          detail: `${misnamed} Programs that go by the name show wrong colours: export it again with a standard profile.`,
        };
      default:
        return {
          title: 'Colour profile not accepted',
          detail: `The file is in ${data?.described}; the store accepts ${wanted}.${data?.misnamed ? ` ${misnamed}` : ''} Convert it; assigning another profile would change its colours.`,
        };
    }
  },
};
