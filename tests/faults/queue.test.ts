import { expect, it } from 'vitest';
import { play, type ScenarioName } from '../helpers/queue-scenarios.ts';

// One run of the quicker scenarios; all of them with many seeds: npm run test:faults-long.
const quick: readonly ScenarioName[] = [
  'all workers are killed and others started',
  'Redis is killed and started again',
  'a second submitter comes',
];

it.each(quick)('the queue gives the result of an undisturbed run when %s', async (name) => {
  expect.hasAssertions();
  for await (const { wrong } of play(name, [1])) expect(wrong).toBeNull();
});
