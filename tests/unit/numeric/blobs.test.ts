import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { blobsOfRuns, RunCollector } from '../../../pipeline/numeric/blobs.ts';

function runsOf(rows: readonly string[]): RunCollector {
  const runs = new RunCollector();
  rows.forEach((row, y) => {
    for (let x = 0; x < row.length; x++) if (row[x] === '#') runs.mark(x, y, 1);
  });
  return runs;
}

/** The slow way: flood from every px to its eight neighbours. */
function flooded(rows: readonly string[]): number[] {
  const left = new Set<string>();
  rows.forEach((row, y) => {
    for (let x = 0; x < row.length; x++) if (row[x] === '#') left.add(`${x},${y}`);
  });
  const areas: number[] = [];
  for (const start of left) {
    left.delete(start);
    const queue = [start];
    for (let i = 0; i < queue.length; i++) {
      const [x, y] = queue[i]!.split(',').map(Number);
      for (let dy = -1; dy <= 1; dy++) {
        for (let dx = -1; dx <= 1; dx++) {
          const next = `${x! + dx},${y! + dy}`;
          if (left.delete(next)) queue.push(next);
        }
      }
    }
    areas.push(queue.length);
  }
  return areas.sort((a, b) => b - a);
}

describe('blobs', () => {
  it('join at edges and corners, and know their boxes', () => {
    const { blobs, blobOfRun } = blobsOfRuns(runsOf(['##..#', '..#..', '.....', '#...#', '#####']));
    expect(blobs).toEqual([
      { areaPx: 7, left: 0, top: 3, right: 5, bottom: 5 },
      { areaPx: 3, left: 0, top: 0, right: 3, bottom: 2 },
      { areaPx: 1, left: 4, top: 0, right: 5, bottom: 1 },
    ]);
    expect([...blobOfRun]).toEqual([1, 2, 1, 0, 0, 0]);
    expect(blobsOfRuns(new RunCollector()).blobs).toEqual([]);
  });

  it('are those a flood fill finds', () => {
    const row = fc.string({ unit: fc.constantFrom('#', '.'), minLength: 12, maxLength: 12 });
    fc.assert(
      fc.property(fc.array(row, { minLength: 1, maxLength: 10 }), (rows) => {
        expect(blobsOfRuns(runsOf(rows)).blobs.map(({ areaPx }) => areaPx)).toEqual(flooded(rows));
      }),
    );
  });
});
