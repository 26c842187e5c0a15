import { describe, expect, it } from 'vitest';
import { estimateBlur } from '../../pipeline/measure/sharpness.ts';
import { cleanChart, expose, slantedEdge } from '../helpers/charts.ts';
import { mtf50Of, slantedEdgeResponse } from '../helpers/e-sfr.ts';
import { edgeSpread } from '../helpers/edge-spread.ts';
import { demoKernels } from '../validation/demo-kernel-sweep.ts';
import {
  againstSlantedEdge,
  defocusDiscs,
  evenStars,
  gaussianEdges,
  motionDirection,
  motionLength,
} from '../validation/sharpness-sweep.ts';
import { missed, take } from '../validation/sweep.ts';

describe('the tests own edge spreads and slanted-edge calculation', () => {
  // Abramowitz and Stegun, table 26.1; share of a circle beyond a chord at half the radius: (2 pi / 3 - sqrt(3) / 2) / (2 pi), by hand.
  it.each([
    ['Gaussian, one sigma', edgeSpread({ kind: 'gaussian', sigmaPx: 2 }, 2, 0), 0.8413447461],
    ['Gaussian, two sigmas', edgeSpread({ kind: 'gaussian', sigmaPx: 2 }, -4, 0), 0.0227501319],
    ['disc, half the radius', edgeSpread({ kind: 'disc', radiusPx: 4 }, -2, 0), 0.1955011095],
    ['motion, a quarter of a long path', edgeSpread({ kind: 'motion', lengthPx: 40, deg: 0 }, 10, 0), 0.75],
    ['motion along the edge', edgeSpread({ kind: 'motion', lengthPx: 40, deg: 0 }, 0.6, 90), 0.8413447461],
  ])('%s', (_, share, expected) => expect(share).toBeCloseTo(expected, 6));

  // Analytic MTF50 of Gaussians and discs; 1.5 % is what binning to quarters of a px and the Hamming window cost up to 1.5 px.
  it.each([
    [{ kind: 'gaussian', sigmaPx: 0.5 }, 0.37478],
    [{ kind: 'gaussian', sigmaPx: 1 }, 0.18739],
    [{ kind: 'gaussian', sigmaPx: 1.5 }, 0.12493],
    [{ kind: 'disc', radiusPx: 2 }, 0.705085 / 4],
    [{ kind: 'disc', radiusPx: 3 }, 0.705085 / 6],
  ] as const)('e-SFR of %j', async (spread, expected) => {
    const { luma, width, height } = await expose(slantedEdge(spread), cleanChart);
    const mtf50 = mtf50Of(slantedEdgeResponse(luma, width, height));
    expect(Math.abs(mtf50 / expected - 1)).toBeLessThan(0.015);
  });
});

describe('blur of a region against charts of known spread', () => {
  it('sigma of Gaussian edges', async () => {
    expect(missed(await take(gaussianEdges))).toEqual([]);
  });

  it('MTF50 of defocus discs, and larger discs always read softer', async () => {
    const sweep = await take(defocusDiscs);
    expect(missed(sweep)).toEqual([]);
    for (const condition of new Set(sweep.points.map((point) => point.condition))) {
      const row = sweep.points.filter((point) => point.condition === condition);
      const measured = row.map((point) => point.measured ?? Number.NaN);
      const falling = measured.every((value, i) => i === 0 || value < measured[i - 1]!);
      expect(falling, `${condition}: ${measured.join(' ')}`).toBe(true);
    }
  });

  it('length and direction of straight motion', async () => {
    expect([...missed(await take(motionLength)), ...missed(await take(motionDirection))]).toEqual([]);
  }, 180_000);

  it('even blur on a star has no direction', async () => {
    expect(missed(await take(evenStars))).toEqual([]);
  }, 180_000);

  it('agrees with the slanted-edge calculation of ISO 12233', async () => {
    expect(missed(await take(againstSlantedEdge))).toEqual([]);
  });

  it('variance that a known kernel adds to rendered frames', async () => {
    expect(missed(await take(demoKernels))).toEqual([]);
  }, 180_000);

  it('gives a reason instead of a number where there is no edge', () => {
    const flat = new Uint8Array(64 * 64).fill(128);
    expect(estimateBlur(flat, 64, 64)).toEqual({
      reason: 'The region has too few clear edges to measure blur on.',
    });
  });
});
