import { expect, it } from 'vitest';
import { demoSweeps } from '../validation/demo-sweep.ts';
import { missed, type SweepPlan, take } from '../validation/sweep.ts';

it.each(demoSweeps)(
  '$quantity within $limitText',
  async (plan: SweepPlan) => {
    const sweep = await take(plan);
    expect(sweep.points.length).toBeGreaterThan(20);
    expect(missed(sweep)).toEqual([]);
  },
  600_000,
);
