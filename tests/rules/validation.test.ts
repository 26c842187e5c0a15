import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';
import type { SweepPlan } from '../validation/sweep.ts';
import { photographSweeps, projectSweeps } from '../validation/sweeps.ts';

/** What the page draws, the README promises and the tests hold are the same sweeps. */

const folder = (name: string) => fileURLToPath(new URL(`../${name}/`, import.meta.url));

const isPlan = (value: unknown): value is SweepPlan =>
  typeof value === 'object' && value !== null && 'measure' in value && 'limitText' in value;

const files = readdirSync(folder('validation')).filter((file) => file.endsWith('-sweep.ts'));
const written = await Promise.all(
  files.map(async (file) => Object.entries(await import(`${folder('validation')}${file}`))),
);
/** Lists of sweeps that one test goes through. */
const lists = written
  .flat()
  .filter((entry): entry is [string, readonly unknown[]] => Array.isArray(entry[1]));
const plans = written.flat().filter((entry): entry is [string, SweepPlan] => isPlan(entry[1]));

const referenceTests = readdirSync(folder('reference'), { recursive: true, encoding: 'utf8' })
  .filter((file) => file.endsWith('.test.ts'))
  .map((file) => readFileSync(`${folder('reference')}${file}`, 'utf8'));

it('every sweep that is written is drawn, once', () => {
  expect(projectSweeps.length).toBeGreaterThan(0);
  expect(new Set(projectSweeps)).toEqual(new Set(plans.map(([, plan]) => plan)));
  const ids = projectSweeps.map(({ id }) => id);
  expect(new Set(ids).size).toBe(ids.length);
  for (const id of ids) expect(id).toMatch(/^[a-z0-9]+(-[a-z0-9]+)*$/);
});

it('every sweep on labelled photographs is drawn, once', () => {
  const makers = written.flat().filter(([name]) => name.endsWith('OnPhotographs'));
  const ids = makers.map(([, make]) => (make as (folder: string, labels: string) => SweepPlan)('', '').id);
  const drawn = photographSweeps('', '').map(({ id }) => id);
  expect(drawn.toSorted()).toEqual(ids.toSorted());
  expect(new Set([...drawn, ...projectSweeps.map(({ id }) => id)]).size).toBe(
    drawn.length + projectSweeps.length,
  );
});

it.each(plans)('%s is held by a reference test', (name, plan) => {
  const ways = [
    `take(${name})`,
    ...lists.filter(([, list]) => list.includes(plan)).map(([list]) => `it.each(${list})`),
  ];
  expect(ways.some((way) => referenceTests.some((text) => text.includes(way)))).toBe(true);
});
