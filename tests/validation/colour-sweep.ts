/** Temperatures, tints, differences and codes of published colours. */
import { adaptationMatrix } from '../../pipeline/numeric/colour/adaptation.ts';
import { castOfWhiteness, whitenessOfCast } from '../../pipeline/numeric/colour/cast.ts';
import { uvOfXy, xyzOfXy } from '../../pipeline/numeric/colour/chromaticity.ts';
import { ciede2000 } from '../../pipeline/numeric/colour/ciede2000.ts';
import { whitenessOfUv } from '../../pipeline/numeric/colour/correlated-temperature.ts';
import { daylightXy } from '../../pipeline/numeric/colour/daylight.ts';
import { xyzOfLab } from '../../pipeline/numeric/colour/lab.ts';
import { apply } from '../../pipeline/numeric/colour/matrix3.ts';
import { byteOfLinear, d65Xyz, rgbOfXyz } from '../../pipeline/numeric/colour/srgb.ts';
import {
  colorChecker,
  daylight,
  filters,
  illuminants,
  planckianRadiators,
  sharmaPairs,
} from './colour-tables.ts';
import type { SweepPlan, SweepPoint } from './sweep.ts';

function point(condition: string, truth: number, measured: number | null, tolerance: number): SweepPoint {
  return { condition, truth, measured, low: truth - tolerance, high: truth + tolerance };
}

/** 2 K or 0.1 %, whichever is larger. */
const kelvinTolerance = (kelvin: number): number => Math.max(2, 0.001 * kelvin);

export const temperatureOfIlluminants: SweepPlan = {
  id: 'illuminant-temperature',
  quantity: 'correlated colour temperature of CIE illuminants',
  unit: 'K',
  range: 'A, B, C, D50, D55, D65, D75, E, F2, F7, F11',
  source: 'CIE 15 chromaticities; temperatures by colour-science (Ohno 2013)',
  limitText: '2 K or 0.1 %',
  measure: async () =>
    illuminants.map(([name, x, y, cctK]) =>
      point(name, cctK, whitenessOfUv(uvOfXy([x, y]))?.cctK ?? null, kelvinTolerance(cctK)),
    ),
};

export const tintOfIlluminants: SweepPlan = {
  id: 'illuminant-duv',
  quantity: 'Duv of CIE illuminants',
  unit: 'Duv',
  range: 'A, B, C, D50, D55, D65, D75, E, F2, F7, F11',
  source: 'CIE 15 chromaticities; Duv by colour-science (Ohno 2013)',
  limitText: '0.00002',
  measure: async () =>
    illuminants.map(([name, x, y, , duv]) =>
      point(name, duv, whitenessOfUv(uvOfXy([x, y]))?.duv ?? null, 2e-5),
    ),
};

export const temperatureOfRadiators: SweepPlan = {
  id: 'planckian-temperature',
  quantity: 'temperature of Planckian radiators',
  unit: 'K',
  range: '2,000 to 12,500 K',
  source: 'Robertson 1968; Wyszecki and Stiles, table 1(3.11), 5 decimals',
  limitText: '2 K or 0.1 %',
  measure: async () =>
    planckianRadiators.map(([mired, u, v]) => {
      const truth = 1e6 / mired;
      return point(`u ${u}, v ${v}`, truth, whitenessOfUv([u, v])?.cctK ?? null, kelvinTolerance(truth));
    }),
};

export const daylightLocus: SweepPlan = {
  id: 'daylight-locus',
  quantity: 'chromaticity of daylight',
  unit: 'xy',
  range: '4,000 to 25,000 K',
  source: 'CIE 15:2018, 4.1.2; colour-science',
  limitText: '0.000001',
  measure: async () =>
    daylight.flatMap(([cctK, x, y]) => {
      const measured = daylightXy(cctK);
      return [point(`x at ${cctK} K`, x, measured[0], 1e-6), point(`y at ${cctK} K`, y, measured[1], 1e-6)];
    }),
};

/** White under daylight of 5,500 K, seen in sRGB with and without the filter. */
export const shiftOfFilters: SweepPlan = {
  id: 'filter-shift',
  quantity: 'mired shift of conversion filters',
  unit: 'mired',
  range: '81 to 85B and 82 to 80A on 5,500 K, seen in linear sRGB',
  source: "a maker's filter table, whole mired",
  limitText: '0.1 mired',
  measure: async () => {
    const bare = 1e6 / 5500;
    return filters.map(([name, shift]) => {
      const through = whitenessOfCast(castOfWhiteness(1e6 / (bare + shift), 0));
      return point(name, shift, through && through.mired - bare, 0.1);
    });
  },
};

export const publishedDifferences: SweepPlan = {
  id: 'ciede2000',
  quantity: 'colour difference CIEDE2000',
  unit: 'CIEDE2000',
  range: '34 pairs, both ways round',
  source: 'Sharma, Wu and Dalal 2005, table 1',
  limitText: '0.00005 (4 decimals)',
  measure: async () =>
    sharmaPairs.flatMap(([l1, a1, b1, l2, a2, b2, truth], index) => [
      point(`pair ${index + 1}`, truth, ciede2000([l1, a1, b1], [l2, a2, b2]), 5e-5),
      point(`pair ${index + 1} turned round`, truth, ciede2000([l2, a2, b2], [l1, a1, b1]), 5e-5),
    ]),
};

/** White of the ICC connection space (ICC.1:2010, 7.2.16): D50. */
const d50Xyz = xyzOfXy([0.3457, 0.3585]);

export const colorCheckerCodes: SweepPlan = {
  id: 'colorchecker',
  quantity: 'sRGB codes of ColorChecker patches',
  unit: 'codes',
  range: '24 patches, three channels',
  source: "maker's CIELAB (D50, since 2014) by way of colour-science",
  limitText: '1 code',
  measure: async () => {
    const toD65 = adaptationMatrix(d50Xyz, d65Xyz);
    return colorChecker.flatMap(([name, l, a, b, ...codes]) => {
      const rgb = rgbOfXyz(apply(toD65, xyzOfLab([l, a, b], d50Xyz)));
      return codes.map((code, channel) =>
        point(`${name}, ${['red', 'green', 'blue'][channel]}`, code, byteOfLinear(rgb[channel]!), 1),
      );
    });
  },
};

export const colourSweeps: readonly SweepPlan[] = [
  temperatureOfIlluminants,
  tintOfIlluminants,
  temperatureOfRadiators,
  daylightLocus,
  shiftOfFilters,
  publishedDifferences,
  colorCheckerCodes,
];
