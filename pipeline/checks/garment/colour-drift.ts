import { type Observation, type SetCheck, standardLevels } from '../../contracts/check.ts';
import { driftCoverageFactor as coverageFactor, type Drift } from '../../contracts/results.ts';
import { notApplicable, unmeasuredNote } from '../observed.ts';
import { against, amount, fileName } from '../words.ts';

/** Whom a frame was compared with, as its finding says it. */
const companyOf: Readonly<Record<string, string>> = {
  flash: 'the other flash frames of its set',
  natural: 'the other natural-light frames of its set',
  all: 'its set',
};

/** Flash and natural-light frames of one set, each compared within itself first, against each other. */
function betweenLights(difference: Drift['flashAgainstNatural']): readonly Observation[] {
  if (difference === null) return [];
  const { mired, duv, sigmaMired, sigmaDuv } = difference;
  const common = { group: 'lights', data: { mired, duv, sigmaMired } };
  return [
    { ...common, quantity: 'flashMired', value: Math.abs(mired), uncertainty: coverageFactor * sigmaMired },
    { ...common, quantity: 'flashDuv', value: Math.abs(duv), uncertainty: coverageFactor * sigmaDuv },
  ];
}

/** Each frame's departure from the reference of its set. A frame counts only where its drift is beyond the limit by more than the uncertainty. */
export const colourDrift: SetCheck = {
  level: 'set',
  meta: {
    id: 'colour-drift',
    title: 'Colour drift',
    what: "Each frame's colour temperature, tint and garment colour against the reference of the garment's set.",
    quantities: {
      mired: {
        bad: 'above',
        unit: 'mired',
        meaning: 'change of colour temperature against the set, with its uncertainty taken off',
        levels: ['cleanup', 'reject'],
      },
      duv: {
        bad: 'above',
        unit: 'Duv',
        meaning: 'change of tint (green to magenta) against the set, with its uncertainty taken off',
        levels: ['cleanup', 'reject'],
      },
      garmentColour: {
        bad: 'above',
        unit: 'CIEDE2000',
        meaning:
          "difference of the garment's colour against the set, exposure divided out and uncertainty taken off",
        levels: ['note', 'cleanup', 'reject'],
      },
      flashMired: {
        bad: 'above',
        unit: 'mired',
        meaning:
          'difference of colour temperature between flash and natural-light frames, with its uncertainty taken off',
        levels: ['note', 'cleanup'],
      },
      flashDuv: {
        bad: 'above',
        unit: 'Duv',
        meaning: 'difference of tint between flash and natural-light frames, with its uncertainty taken off',
        levels: ['note', 'cleanup'],
      },
    },
    levels: standardLevels,
  },
  observe: ({ drift, frames }) => {
    if (drift.reference === null) {
      return frames.length < 2
        ? notApplicable('One frame cannot drift.')
        : unmeasuredNote(
            'Colour of the set not compared',
            'Too few frames could be compared. Look at the set side by side.',
          );
    }
    const observations: Observation[] = drift.frames.flatMap((frame) => {
      const common = {
        group: frame.frame,
        atFault: frame.frame,
        data: {
          mired: frame.mired,
          duv: frame.duv,
          sigmaMired: frame.sigmaMired,
          frame: frame.frame,
          company: companyOf[frame.among] ?? '',
        },
      };
      return [
        {
          ...common,
          quantity: 'mired',
          value: Math.abs(frame.mired),
          uncertainty: coverageFactor * frame.sigmaMired,
        },
        {
          ...common,
          quantity: 'duv',
          value: Math.abs(frame.duv),
          uncertainty: coverageFactor * frame.sigmaDuv,
        },
        ...(frame.deltaE00 === null
          ? []
          : [
              {
                ...common,
                quantity: 'garmentColour',
                value: frame.deltaE00,
                uncertainty: coverageFactor * (frame.sigmaDeltaE00 ?? 0),
              },
            ]),
      ];
    });
    return { observations: [...observations, ...betweenLights(drift.flashAgainstNatural)] };
  },
  describe: ({ quantity, value, data }, { limit }) => {
    const frame = fileName(String(data?.frame));
    const company = String(data?.company);
    switch (quantity) {
      case 'mired': {
        const shown = against(Number(value), Number(limit), 'mired');
        // A higher mired value is a lower colour temperature: light left in the picture is more yellow.
        const way = Number(data?.mired) > 0 ? 'warmer' : 'cooler';
        return {
          title: `Colour drift, ${way}`,
          detail: `${frame} is ${shown.value} ${way} than ${company} (± ${amount(coverageFactor * Number(data?.sigmaMired), 'mired')}), more than the ${shown.limit} limit. Match its white balance to the set.`,
        };
      }
      case 'duv': {
        const shown = against(Number(value), Number(limit), 'Duv');
        const way = Number(data?.duv) > 0 ? 'greener' : 'more magenta';
        return {
          title: `Colour drift, ${way}`,
          detail: `${frame} is ${way} than ${company} by ${shown.value}, more than the limit of ${shown.limit}. Match its tint to the set.`,
        };
      }
      case 'flashMired': {
        const shown = against(Number(value), Number(limit), 'mired');
        const way = Number(data?.mired) > 0 ? 'warmer' : 'cooler';
        return {
          title: `Flash frames ${way}`,
          detail: `The flash frames are ${shown.value} ${way} than the natural-light frames of the set (± ${amount(coverageFactor * Number(data?.sigmaMired), 'mired')}), more than the ${shown.limit} limit. Each light is even within itself: match the white balance of one to the other.`,
        };
      }
      case 'flashDuv': {
        const shown = against(Number(value), Number(limit), 'Duv');
        const way = Number(data?.duv) > 0 ? 'greener' : 'more magenta';
        return {
          title: `Flash frames ${way}`,
          detail: `The flash frames are ${way} than the natural-light frames of the set by ${shown.value}, more than the limit of ${shown.limit}. Match the tint of one light to the other.`,
        };
      }
      default: {
        const shown = against(Number(value), Number(limit), 'CIEDE2000');
        return {
          title: 'Garment colour differs',
          detail: `The garment in ${frame} differs by ${shown.value} from ${company}, more than the limit of ${shown.limit}. Compare it with the cloth and match the frame to the set.`,
        };
      }
    }
  },
};
