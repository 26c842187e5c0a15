import { createHash } from 'node:crypto';
import { readFileSync, utimesSync, writeFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import type { Dispatcher, FrameOutcome } from '../../../pipeline/contracts/work.ts';
import { measureSettled } from '../../../workers/measure-settled.ts';
import { scratchFolder } from '../../helpers/scratch.ts';
import { writeScripted } from '../../helpers/scripts.ts';

const delivery = () =>
  writeScripted(scratchFolder(), [
    { name: 'a', does: 'measures' },
    { name: 'b', does: 'measures' },
  ]);

/** Reads the files; after each round `meanwhile` does something to them. */
function reading(rounds: string[][], meanwhile: (round: number) => void): Dispatcher {
  return {
    name: 'reading',
    close: async () => undefined,
    async measure({ frames }) {
      const outcomes: FrameOutcome[] = frames.map(({ id, path }) => ({
        ok: true,
        frameId: id,
        contentHash: createHash('sha256').update(readFileSync(path)).digest('hex'),
        fromCache: false,
      }));
      rounds.push(frames.map(({ id }) => id));
      meanwhile(rounds.length);
      return outcomes;
    },
  };
}

async function settle(meanwhile: (paths: readonly string[], round: number) => void) {
  const shoot = delivery();
  const rounds: string[][] = [];
  const changed: string[] = [];
  const paths = shoot.frames.map(({ path }) => path);
  const outcomes = await measureSettled(
    reading(rounds, (round) => meanwhile(paths, round)),
    shoot,
    {
      onProgress: () => undefined,
      onChanged: (id) => changed.push(id),
      signal: new AbortController().signal,
    },
  );
  return { rounds, changed, outcomes, paths };
}

it('measures once what nobody touches', async () => {
  const { rounds, changed, outcomes } = await settle(() => undefined);
  expect([rounds.length, changed, outcomes.length]).toEqual([1, [], 2]);
});

it('measures a replaced frame again, and says so', async () => {
  const { rounds, changed, outcomes, paths } = await settle(([, second = ''], round) => {
    if (round === 1) writeFileSync(second, 'newer');
  });
  expect(rounds).toEqual([['dress/a.jpg', 'dress/b.jpg'], ['dress/b.jpg']]);
  expect(changed).toEqual(['dress/b.jpg']);
  const hash = createHash('sha256')
    .update(readFileSync(paths[1] ?? ''))
    .digest('hex');
  expect(outcomes[1]).toMatchObject({ contentHash: hash });
});

it('looks again at a frame that was only touched, and says so: it may have come to it after a change', async () => {
  const { rounds, changed } = await settle(([first = ''], round) => {
    if (round === 1) utimesSync(first, 1, 1);
  });
  expect([rounds.length, changed]).toEqual([2, ['dress/a.jpg']]);
});

it('gives up on a frame that never settles', async () => {
  const { rounds, changed } = await settle(([first = ''], round) => writeFileSync(first, `again ${round}`));
  expect([rounds.length, changed]).toEqual([3, ['dress/a.jpg']]);
});
