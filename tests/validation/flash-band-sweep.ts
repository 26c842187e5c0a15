/** The dark band of a shutter faster than flash sync, drawn into real photographs: found or not, how deep, how far into the frame. */

import type { Rgb8 } from '../../pipeline/contracts/frame-image.ts';
import type { FlashBand } from '../../pipeline/contracts/measurement/exposure.ts';
import { findFlashBand } from '../../pipeline/measure/exposure/flash-band.ts';
import { once } from '../../pipeline/numeric/once.ts';
import { median } from '../../pipeline/numeric/statistics.ts';
import { noCapture } from '../helpers/made-frame.ts';
import { exposed, inSize } from '../helpers/photographs-in-light.ts';
import { sharpPhotographs } from '../helpers/real-photographs.ts';
import type { SweepPlan, SweepPoint } from './sweep.ts';

/** Width of the border of a band, as a share of the frame: a curtain is out of focus and moves while the flash burns. */
const border = 0.05;
const reaches = [0.08, 0.2];
const edges = ['top', 'bottom'] as const;

function banded(picture: Rgb8, edge: 'top' | 'bottom', reach: number, stops: number): Rgb8 {
  return exposed(picture, (row) => {
    const fromTop = (row + 0.5) / picture.height;
    const from = edge === 'top' ? fromTop : 1 - fromTop;
    return Math.log2(1 + (2 ** -stops - 1) * (1 - Math.min(1, Math.max(0, (from - reach) / border + 0.5))));
  });
}

function seenBand(picture: Rgb8): FlashBand | null {
  const band = findFlashBand(picture, noCapture);
  return typeof band === 'string' ? null : band;
}

interface FoundBands {
  readonly found: readonly SweepPoint[];
  readonly depth: readonly SweepPoint[];
  readonly reach: readonly SweepPoint[];
}

/** Depths drawn, with the least share of them that must be found. */
const depths = [
  [0.5, 0.15],
  [1, 0.5],
  [2, 0.75],
  [3, 0.8],
] as const;

async function findBands(): Promise<FoundBands> {
  const pictures = await inSize(sharpPhotographs(), 640);
  const found: SweepPoint[] = [];
  const depth: SweepPoint[] = [];
  const reach: SweepPoint[] = [];
  for (const [stops, least] of depths) {
    const looked = pictures.flatMap(({ picture }) =>
      edges.flatMap((edge) =>
        reaches.map((share) => ({ edge, share, band: seenBand(banded(picture, edge, share, stops)) })),
      ),
    );
    const seen = looked.flatMap(({ edge, share, band }) => (band?.edge === edge ? [{ share, band }] : []));
    found.push({
      truth: 1,
      measured: seen.length / looked.length,
      low: least,
      high: 1,
      condition: `bands of ${stops} stops`,
      at: stops,
    });
    // Shallower ones are found only where the picture itself helps: their depth says little.
    if (stops < 1) continue;
    const condition = `bands of ${stops} stops, median of the ${seen.length} found`;
    const deep = median(seen.map(({ band }) => band.depthStops));
    depth.push({ truth: stops, measured: deep, low: stops - 0.3, high: stops + 0.3, condition });
    for (const share of reaches) {
      const far = median(seen.filter((one) => one.share === share).map(({ band }) => band.reachShare));
      reach.push({ truth: share, measured: far, low: share - 0.02, high: share + 0.02, condition });
    }
  }
  const wrong = pictures.filter(({ picture }) => seenBand(picture) !== null).length;
  found.push({
    truth: 0,
    measured: wrong / pictures.length,
    low: 0,
    high: 0.05,
    condition: 'no band',
    at: 0,
  });
  return { found, depth, reach };
}

const bandsOnce = once(findBands);

const drawn = {
  source: 'bands drawn into the photographs in linear light',
  range: 'eight camera photographs (Debian mate-backgrounds), bands of 8 and 20 % along two edges',
};

/** How often a band is found. */
export const flashBandsFound: SweepPlan = {
  id: 'flash-band-found',
  quantity: 'dark bands found',
  unit: 'share',
  over: 'depth of the band, stops',
  ...drawn,
  limitText: 'at least 15, 50, 75 and 80 % at 0.5, 1, 2 and 3 stops; at most 5 % where there is none',
  measure: async () => (await bandsOnce()).found,
};

export const flashBandDepth: SweepPlan = {
  id: 'flash-band-depth',
  quantity: 'depth of dark bands',
  unit: 'stops',
  ...drawn,
  limitText: '0.3 stop, median of those found',
  measure: async () => (await bandsOnce()).depth,
};

export const flashBandReach: SweepPlan = {
  id: 'flash-band-reach',
  quantity: 'reach of dark bands into the frame',
  unit: 'share of the frame',
  ...drawn,
  limitText: '0.02, median of those found',
  measure: async () => (await bandsOnce()).reach,
};
