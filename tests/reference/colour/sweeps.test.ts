import { expect, it } from 'vitest';
import { colourSweeps } from '../../validation/colour-sweep.ts';
import { relightSweeps } from '../../validation/relight-sweep.ts';
import { missed, type SweepPlan, take } from '../../validation/sweep.ts';

async function holdsEverywhere(plan: SweepPlan): Promise<void> {
  const sweep = await take(plan);
  expect(sweep.points.length).toBeGreaterThan(8);
  expect(missed(sweep)).toEqual([]);
}

it.each(colourSweeps)('$quantity within $limitText', holdsEverywhere);

it.each(relightSweeps)('$quantity within $limitText', holdsEverywhere, 400_000);
