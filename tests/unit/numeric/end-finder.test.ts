import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { EndFinder, groupSamples } from '../../../pipeline/numeric/end-finder.ts';
import { seededRandom } from '../../helpers/random.ts';

/** Where a plain loop begins a group: at `from` plus whole groups, at the first one that holds an end. */
function plainNext(samples: Uint8Array, from: number): number {
  for (let at = from; at < samples.length; at += groupSamples) {
    if (samples.subarray(at, at + groupSamples).some((value) => value === 0 || value === 255)) return at;
  }
  return samples.length;
}

describe('ends of the range', () => {
  it('are found where a plain loop finds them, over more samples than are looked at together', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 120_000 }),
        fc.constantFrom(0, 0.0001, 0.01),
        fc.nat(),
        (length, share, seed) => {
          const random = seededRandom(seed);
          const samples = Uint8Array.from({ length }, () =>
            random() < share ? 255 * Math.round(random()) : 1 + Math.floor(254 * random()),
          );
          const finder = new EndFinder(samples);
          // Groups that begin after the last one found, wherever that was, so none is skipped and none told where nothing is.
          let from = 0;
          for (let at = finder.next(0); at < length; at = finder.next(from)) {
            const group = samples.subarray(from, at);
            expect(group.includes(0) || group.includes(255)).toBe(false);
            expect(plainNext(samples, at)).toBe(at);
            from = at + groupSamples;
          }
          expect(plainNext(samples, from)).toBe(length);
        },
      ),
      { numRuns: 40 },
    );
  });
});
