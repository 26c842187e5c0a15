import { type FrameCheck, type Observation, standardLevels } from '../../contracts/check.ts';
import type { colourSpaces } from '../../contracts/measurement/file.ts';
import { listing } from '../words.ts';

type ColourSpace = (typeof colourSpaces)[number];

const spaceNames: Readonly<Record<ColourSpace, string>> = {
  srgb: 'sRGB',
  'adobe-rgb': 'Adobe RGB (1998)',
  'display-p3': 'Display P3',
  'prophoto-rgb': 'ProPhoto RGB',
  grey: 'greyscale',
  cmyk: 'CMYK',
  other: 'an unusual colour space',
  untagged: 'no colour profile',
};

/** What a profile's own description claims, where it names one of the usual spaces. */
const claims: readonly (readonly [RegExp, ColourSpace])[] = [
  [/\bs-?rgb\b|61966/i, 'srgb'],
  [/adobe\s*rgb/i, 'adobe-rgb'],
  [/display\s*p3/i, 'display-p3'],
  [/prophoto|romm/i, 'prophoto-rgb'],
];

function claimed(description: string | null): ColourSpace | null {
  return claims.find(([pattern]) => description !== null && pattern.test(description))?.[1] ?? null;
}

const nameOf = (space: string): string => spaceNames[space as ColourSpace] ?? space;

/**
 * The colour space as the embedded profile's numbers describe it, never by its name. A missing profile is a note: browsers show
 * such a picture as sRGB (W3C CSS Color 4), but whether the camera meant that cannot be seen.
 */
export const wrongColourProfile: FrameCheck = {
  level: 'frame',
  meta: {
    id: 'wrong-colour-profile',
    title: 'Colour profile not accepted',
    what: 'The colour space the embedded profile describes against those the store accepts; a missing or misnamed profile.',
    quantities: {
      colourSpace: {
        bad: 'outside',
        unit: 'colour space',
        meaning: 'the colour space the embedded profile describes',
        unless: 'the store accepts it (`delivery.colourSpaces`)',
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
        meaning: 'the colour space the profile is named after',
        unless: 'the profile describes that space',
        severity: 'note',
      },
    },
    levels: standardLevels,
  },
  observe: ({ measurement: { file }, delivery }) => {
    const accepted = delivery.colourSpaces;
    const said = claimed(file.colourProfile);
    const data = {
      described: nameOf(file.colourSpace),
      named: file.colourProfile,
      misnamed: said !== null && said !== file.colourSpace,
      accepted: listing(accepted.names.map(nameOf), 'or'),
    };
    if (file.colourSpace === 'untagged') {
      return { observations: [{ quantity: 'missingProfile', value: 'untagged', accepted, data }] };
    }
    const observations: Observation[] = [
      { quantity: 'colourSpace', value: file.colourSpace, accepted, data, group: 'profile' },
    ];
    if (said !== null) {
      observations.push({
        quantity: 'profileName',
        value: said,
        accepted: { names: [file.colourSpace], source: 'the profile itself' },
        data,
        group: 'profile',
      });
    }
    return { observations };
  },
  describe: ({ quantity, data }) => {
    const misnamed = data?.misnamed
      ? ` Its profile is named "${data.named}" but describes ${data.described}.`
      : '';
    switch (quantity) {
      case 'missingProfile':
        return {
          title: 'Colour profile missing',
          detail: `The file carries no colour profile, so shops show it as sRGB. Export it again with the profile embedded (${data?.accepted}).`,
        };
      case 'profileName':
        return {
          title: 'Colour profile misnamed',
          detail: `${misnamed.trim()} Programs that go by the name will show wrong colours: export it again with a standard profile.`,
        };
      default:
        return {
          title: 'Colour profile not accepted',
          detail: `The file is in ${data?.described}; the store accepts ${data?.accepted}.${misnamed} Convert it, do not just assign another profile.`,
        };
    }
  },
};
