import { expect, it } from 'vitest';
import { colourSweeps } from '../../validation/colour-sweep.ts';
import { relightSweeps } from '../../validation/relight-sweep.ts';
import { missed, take } from '../../validation/sweep.ts';

it.each([...colourSweeps, ...relightSweeps])(
  '$quantity within $limitText',
  async (plan) => {
    const sweep = await take(plan);
    expect(sweep.points.length).toBeGreaterThan(8);
    expect(missed(sweep)).toEqual([]);
  },
  400_000,
);
