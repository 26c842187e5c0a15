import { type Observation, type SetCheck, standardLevels } from '../../contracts/check.ts';
import { notApplicable, unmeasuredNote } from '../observed.ts';
import { against, amount, fileName } from '../words.ts';

/** Coverage factor of the expanded uncertainty: about 95 % for a normal distribution (JCGM 100:2008, 6.3.3). */
const coverageFactor = 2;

/**
 * The measurement gives one uncertainty, of mired, for ratios of red and of blue to green that are equally uncertain. The same
 * uncertainty moves the tint by this many Duv for each mired (computed about D65 with numeric/colour/cast.ts), ...
 */
const duvPerMired = 0.00043;
/** ... and the colour of mid-grey cloth by this many CIEDE2000 (computed with numeric/colour/lab.ts); less of strongly coloured cloth. */
const ciede2000PerMired = 0.5;

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
          deltaE00: frame.deltaE00,
          frame: frame.frame,
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
          uncertainty: coverageFactor * frame.sigmaMired * duvPerMired,
        },
        ...(frame.deltaE00 === null
          ? []
          : [
              {
                ...common,
                quantity: 'garmentColour',
                value: frame.deltaE00,
                uncertainty: coverageFactor * frame.sigmaMired * ciede2000PerMired,
              },
            ]),
      ];
    });
    return { observations };
  },
  describe: ({ quantity, value, data }, { limit }) => {
    const frame = fileName(String(data?.frame));
    switch (quantity) {
      case 'mired': {
        const shown = against(Number(value), Number(limit), 'mired');
        // A higher mired value is a lower colour temperature: light left in the picture is more yellow.
        const way = Number(data?.mired) > 0 ? 'warmer' : 'cooler';
        return {
          title: `Colour drift, ${way}`,
          detail: `${frame} is ${shown.value} ${way} than its set (± ${amount(coverageFactor * Number(data?.sigmaMired), 'mired')}), more than the ${shown.limit} limit. Match its white balance to the set.`,
        };
      }
      case 'duv': {
        const shown = against(Number(value), Number(limit), 'Duv');
        const way = Number(data?.duv) > 0 ? 'greener' : 'more magenta';
        return {
          title: `Colour drift, ${way}`,
          detail: `${frame} is ${way} than its set by ${shown.value}, more than the limit of ${shown.limit}. Match its tint to the set.`,
        };
      }
      default: {
        const shown = against(Number(value), Number(limit), 'CIEDE2000');
        return {
          title: 'Garment colour differs',
          detail: `The garment in ${frame} differs by ${shown.value} from its set, more than the limit of ${shown.limit}. Compare it with the cloth and match the frame to the set.`,
        };
      }
    }
  },
};
