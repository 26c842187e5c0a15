import { describe, expect, it } from 'vitest';
import { couldSee, type Look, lookFurther } from '../../../../pipeline/measure/people/looks.ts';

const picture = { width: 200, height: 300, data: new Uint8Array(3 * 200 * 300).fill(128) };
const square = { ...picture, height: 200 };
const first: Look = { found: [], regions: [{ x: 0, y: 0, width: 200, height: 300 }] };

/** Looks are taken on a grey picture; `settledAfter` of them are enough. */
async function looksTaken(of: typeof picture, settledAfter: number): Promise<readonly boolean[]> {
  const asked: boolean[] = [];
  const whole = async (mirrored: boolean) => {
    asked.push(mirrored);
    return first;
  };
  const looks = await lookFurther(of, whole, first, (taken) => taken.length >= settledAfter);
  expect(looks[0]).toBe(first);
  expect(asked.every((mirrored) => mirrored)).toBe(true);
  return looks.map((look) => look === first);
}

describe('further looks', () => {
  it('are taken until all is settled: in tiles, then whole and tiles mirrored', async () => {
    expect(await looksTaken(picture, 1)).toEqual([true]);
    expect(await looksTaken(picture, 2)).toHaveLength(2);
    expect(await looksTaken(picture, 3)).toHaveLength(4);
  });

  it('of a square picture are its mirror image alone', async () => {
    expect(await looksTaken(square, 2)).toEqual([true, true]);
  });
});

describe('a look', () => {
  it('could see what lies whole in one of its parts', () => {
    const tiles = { found: [], regions: [0, 100].map((y) => ({ x: 0, y, width: 200, height: 200 })) };
    expect(couldSee(tiles, [10, 15, 60, 140], picture)).toBe(true);
    expect(couldSee(tiles, [10, 130, 60, 150], picture)).toBe(true);
    expect(couldSee(tiles, [10, 15, 60, 270], picture)).toBe(false);
    expect(couldSee(first, [10, 15, 60, 270], picture)).toBe(true);
  });
});
