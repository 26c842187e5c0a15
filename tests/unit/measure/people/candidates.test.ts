import { describe, expect, it } from 'vitest';
import { backedByPoses } from '../../../../pipeline/measure/people/candidates.ts';
import type { BoxTuple } from '../../../../pipeline/numeric/boxes.ts';

const person: BoxTuple = [100, 100, 40, 160];
/** Half on the person: intersection over union of 5 to 11. */
const beside: BoxTuple = [85, 100, 40, 160];
const elsewhere: BoxTuple = [400, 100, 40, 160];

describe('candidates backed by poses', () => {
  it('leaves those without a pose as the looks saw them', () => {
    const seen = [{ box: elsewhere, score: 0.4, seenBy: 2 }];
    expect(backedByPoses(seen, [{ box: person, score: 0.8 }])).toEqual(seen);
  });

  it('gives one pose to one candidate as a witness, and lets a second one on the same person stand on one', () => {
    const seen = [
      { box: person, score: 0.4, seenBy: 2 },
      { box: beside, score: 0.1, seenBy: 2 },
    ];
    const backed = backedByPoses(seen, [{ box: person, score: 0.8 }]);
    expect(backed.map(({ box, seenBy }) => ({ box, seenBy }))).toEqual([
      { box: person, seenBy: 3 },
      { box: beside, seenBy: 1 },
    ]);
    for (const [index, candidate] of backed.entries())
      expect(candidate.score).toBeGreaterThan(seen[index]!.score);
  });

  it('puts the surest first', () => {
    const seen = [
      { box: elsewhere, score: 0.4, seenBy: 1 },
      { box: person, score: 0.3, seenBy: 1 },
    ];
    const backed = backedByPoses(seen, [{ box: person, score: 0.8 }]);
    expect(backed.map(({ box }) => box)).toEqual([person, elsewhere]);
  });
});
