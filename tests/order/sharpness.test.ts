import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { estimateBlur } from '../../pipeline/measure/sharpness.ts';
import { cleanChart, expose, slantedEdge } from '../helpers/charts.ts';
import { gradedFocus } from '../validation/graded-focus-sweep.ts';
import { missed } from '../validation/sweep.ts';

async function sigma(
  sigmaPx: number,
  under: Partial<typeof cleanChart>,
  tone = (v: number): number => v,
): Promise<number> {
  const chart = await expose(slantedEdge({ kind: 'gaussian', sigmaPx }), { ...cleanChart, ...under });
  const blur = estimateBlur(chart.luma.map(tone), chart.width, chart.height);
  return 'reason' in blur ? Number.NaN : blur.blurSigmaPx;
}

describe('blur of a region', () => {
  it.each([0.7, 1, 2, 4])(
    'noise never makes a blur of %d px read sharper by more than a twentieth',
    async (sigmaPx) => {
      const clean = await sigma(sigmaPx, { contrast: 0.5 });
      for (const noiseLevels of [1, 2, 4, 6]) {
        expect(await sigma(sigmaPx, { contrast: 0.5, noiseLevels })).toBeGreaterThan(0.95 * clean);
      }
    },
  );

  it.each([0.7, 1, 2, 4])(
    'exposure and contrast move a blur of %d px by less than 0.03 of it',
    async (sigmaPx) => {
      const plain = await sigma(sigmaPx, { contrast: 0.6 });
      const others = await Promise.all([
        sigma(sigmaPx, { contrast: 0.2 }),
        sigma(sigmaPx, { contrast: 0.4 }, (v) => v + 60),
        sigma(sigmaPx, { contrast: 0.4 }, (v) => v - 60),
        sigma(sigmaPx, { contrast: 0.6 }, (v) => 255 - v),
      ]);
      for (const other of others) expect(Math.abs(other / plain - 1)).toBeLessThan(0.03);
    },
  );

  it('gives the same numbers twice', async () => {
    const chart = await expose(slantedEdge({ kind: 'disc', radiusPx: 2 }), { ...cleanChart, noiseLevels: 3 });
    const twice = [1, 2].map(() => estimateBlur(chart.luma, chart.width, chart.height));
    expect(twice[0]).toEqual(twice[1]);
  });
});

describe('eyes that go out of focus while the garment stays', () => {
  const frame = (name: string): string =>
    fileURLToPath(new URL(`../../samples/delivery/${name}`, import.meta.url));

  // Rendered frames of which the truth says that focus is on the eyes.
  it.each(['linen-shift/a-0412.jpg', 'linen-shift/a-0419.jpg', 'tea-dress/a-0453.jpg'])(
    '%s',
    async (name) => {
      const graded = await gradedFocus(frame(name));
      expect(graded?.eyes).toHaveLength(4);
      const points = [...(graded?.eyes ?? []), ...(graded?.garment ?? [])];
      expect(missed({ points, unit: 'px' })).toEqual([]);
    },
    120_000,
  );
});
