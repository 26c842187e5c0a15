import { describe, expect, it } from 'vitest';
import { groupShots } from '../../../pipeline/intake/by-capture/group-shots.ts';
import type { Shot } from '../../../pipeline/intake/by-capture/shots.ts';
import { rightShare, shootDay, type Truth } from '../../helpers/shoot-day.ts';

/** Simulated shoots whose truth is known: seeds 1 and up; the constants of the method were found with seeds from 20000. */

const hours = [-3, -2.5, -1, -0.21, 0, 0.05, 0.5, 1, 1.75, 3];
const days = (tagShare: number, oneBodyTags = false): readonly (readonly [number, Truth])[] =>
  hours.flatMap((offset, index) =>
    [0, 1].map((more) => {
      const offsetS = Math.round(offset * 3600);
      const seed = 1 + index + 100 * more;
      return [offsetS, shootDay({ garments: 25, seed, offsetS, tagShare, oneBodyTags })] as const;
    }),
  );

const shiftOfB = (grouped: ReturnType<typeof groupShots>): number => {
  const of = (body: string): number => grouped.clocks.find((clock) => clock.body === body)!.shiftMs / 1000;
  return of('B') - of('A');
};

/** Garments that claim to be sure though they hold frames of a body whose clock is not known. */
function sureOfUnknown(
  { garments, clocks }: ReturnType<typeof groupShots>,
  { shots }: Truth,
): readonly string[] {
  const lost = new Set(clocks.filter(({ from }) => from === 'unknown').map(({ body }) => body));
  const doubtful = new Set(shots.filter(({ body }) => lost.has(body)).map(({ id }) => id));
  return garments
    .filter(({ frames, unsure }) => unsure === null && frames.some((frame) => doubtful.has(frame)))
    .map(({ id }) => id);
}

describe('a day of 25 garments, two bodies, clocks up to three hours apart, files in no order', () => {
  it('by tags: every frame of a garment with a tag goes to it, also where every tenth tag is missing', () => {
    for (const share of [1, 0.9]) {
      for (const [offsetS, day] of days(share)) {
        const grouped = groupShots(day.shots);
        expect(rightShare(grouped.garments, day, 'tagged')).toBe(1);
        expect(rightShare(grouped.garments, day, 'all')).toBeGreaterThanOrEqual(0.98);
        // The two bodies photograph the tag 12 s apart in the simulation.
        expect(Math.abs(shiftOfB(grouped) + offsetS)).toBeLessThanOrEqual(13);
      }
    }
  });

  it('by tags of one body alone: the other one follows by the interleaving of the bursts', () => {
    for (const [offsetS, day] of days(1, true)) {
      const grouped = groupShots(day.shots);
      const known = grouped.clocks.every(({ from }) => from !== 'unknown');
      if (known) {
        expect(rightShare(grouped.garments, day, 'tagged')).toBe(1);
        expect(Math.abs(shiftOfB(grouped) + offsetS)).toBeLessThanOrEqual(120);
      } else expect(sureOfUnknown(grouped, day)).toEqual([]);
    }
  });

  it('by time alone: at least 98 % of the frames where the clocks could be brought together, and most days can be', () => {
    let unknown = 0;
    for (const [offsetS, day] of days(0)) {
      const grouped = groupShots(day.shots);
      if (grouped.clocks.some(({ from }) => from === 'unknown')) {
        unknown += 1;
        expect(sureOfUnknown(grouped, day)).toEqual([]);
        continue;
      }
      expect(Math.abs(shiftOfB(grouped) + offsetS)).toBeLessThanOrEqual(120);
      expect(rightShare(grouped.garments, day, 'all')).toBeGreaterThanOrEqual(0.98);
      expect(grouped.garments.map(({ id }) => id)).toEqual(
        Array.from({ length: 25 }, (_, n) => `garment-${String(n + 1).padStart(2, '0')}`),
      );
    }
    expect(unknown).toBeLessThanOrEqual(2);
  });

  it('a shift that a person gives is taken as it is', () => {
    const day = shootDay({ garments: 25, seed: 7, offsetS: 4321, tagShare: 0 });
    const grouped = groupShots(day.shots, new Map([['B', -4_321_000]]));
    expect(grouped.clocks.find(({ body }) => body === 'B')).toMatchObject({
      shiftMs: -4_321_000,
      from: 'given',
    });
    expect(rightShare(grouped.garments, day, 'all')).toBe(1);
  });

  it('is the same in whatever order the files come', () => {
    const day = shootDay({ garments: 25, seed: 9, offsetS: -5000, tagShare: 0.8 });
    const sorted = [...day.shots].sort((a, b) => (a.id < b.id ? -1 : 1));
    const sets = (shots: readonly Shot[]) =>
      groupShots(shots).garments.map(({ id, frames }) => [id, [...frames].sort()]);
    expect(sets([...sorted].reverse())).toEqual(sets(sorted));
  });
});

describe('what is not sure', () => {
  const shot = (n: number, minutes: number | null, over: Partial<Shot> = {}): Shot => ({
    id: `IMG_${String(n).padStart(4, '0')}.JPG`,
    body: 'A',
    ms: minutes === null ? null : minutes * 60_000,
    tag: null,
    ...over,
  });

  it('a gap that could be a pause as well as a change', () => {
    // Changes of 8 to 10 minutes, pauses of up to 2, and one gap of 3.6 that belongs to neither kind.
    const at = [0, 1, 2, 11, 12, 13.4, 22.4, 24, 32, 33, 36.6, 37, 46];
    const { garments } = groupShots(at.map((minutes, n) => shot(n, minutes)));
    expect(garments.filter(({ unsure }) => unsure !== null).length).toBe(1);
    expect(garments.find(({ unsure }) => unsure !== null)?.unsure).toMatch(
      /a gap before it, 3\.6 min, could be/,
    );
  });

  it('two bodies with too few bursts to tell how their clocks differ', () => {
    const shots = [0, 1, 2, 12, 13].map((minutes, n) => shot(n, minutes));
    const other = [100, 101, 112].map((minutes, n) => shot(50 + n, minutes, { body: 'B' }));
    const { garments, clocks } = groupShots([...shots, ...other]);
    expect(clocks.find(({ body }) => body === 'B')?.from).toBe('unknown');
    expect(garments.filter(({ unsure }) => unsure?.includes('clock of B')).length).toBe(2);
    expect(garments.filter(({ unsure }) => unsure === null).length).toBe(2);
  });

  it('frames without a time go by their names where both sides agree, and are named where not', () => {
    const shots = [shot(1, 0), shot(2, null), shot(3, 1), shot(4, null), shot(5, 11), shot(6, 12)];
    const { garments } = groupShots(shots);
    expect(garments.map(({ id, frames, unsure }) => [id, frames.length, unsure === null])).toEqual([
      ['garment-01', 3, false],
      ['garment-02', 2, true],
      ['no-capture-time', 1, false],
    ]);
  });
});

describe('tags', () => {
  const at = (minutes: number, id: string, tag: string | null = null): Shot => ({
    id,
    body: 'A',
    ms: minutes * 60_000,
    tag,
  });

  it('are not delivered, and one that comes again takes the garment up once more', () => {
    const grouped = groupShots([
      at(0, 't1', 'RED'),
      at(1, 'r1'),
      at(12, 't2', 'BLUE'),
      at(13, 'b1'),
      at(25, 't3', 'RED'),
      at(26, 'r2'),
    ]);
    expect(grouped.tags).toEqual(['t1', 't2', 't3']);
    expect(grouped.garments.map(({ id, frames }) => [id, frames])).toEqual([
      ['RED', ['r1', 'r2']],
      ['BLUE', ['b1']],
    ]);
  });

  it('part garments that follow each other without a gap', () => {
    const grouped = groupShots([at(0, 't1', 'RED'), at(1, 'r1'), at(2, 't2', 'BLUE'), at(2.5, 'b1')]);
    expect(grouped.garments.map(({ id, frames }) => [id, frames])).toEqual([
      ['RED', ['r1']],
      ['BLUE', ['b1']],
    ]);
  });

  it('that name a garment without frames make none', () => {
    expect(
      groupShots([at(0, 't1', 'RED'), at(12, 't2', 'BLUE'), at(13, 'b1')]).garments.map(({ id }) => id),
    ).toEqual(['BLUE']);
  });

  it('nothing at all makes no garment', () => {
    expect(groupShots([])).toEqual({ garments: [], tags: [], clocks: [] });
  });
});
