import { expect, it } from 'vitest';
import { colourSweeps } from '../../validation/colour-sweep.ts';
import { missed, take } from '../../validation/sweep.ts';

it.each(colourSweeps)('$quantity within $limitText', async (plan) => {
  const sweep = await take(plan);
  expect(sweep.points.length).toBeGreaterThan(8);
  expect(missed(sweep)).toEqual([]);
});
