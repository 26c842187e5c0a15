import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Colour } from '../../../pipeline/contracts/measurement/colour.ts';
import { measureDrift, type SetFrame } from '../../../pipeline/judge/drift.ts';
import { colourUnder, figure, lightAt, swatchesUnder } from '../../helpers/lit-colours.ts';
import { aMeasurement } from '../../helpers/measurement.ts';

function frame(id: string, colour: Partial<Colour>, flashFired = false): SetFrame {
  return { id, measurement: aMeasurement({ capture: { flashFired }, colour }) };
}

const still = ['a', 'b', 'c', 'd'].map((id) => frame(id, colourUnder(0)));
/** What a close crop leaves: the upper cloth alone. */
const closeUp = { 'upper-cloth': figure['upper-cloth']! };
const miredOf = (set: readonly SetFrame[], id: string) =>
  measureDrift(set).frames.find((row) => row.frame === id)!;

describe('drift of a set', () => {
  /** The demand: 1.5 mired or 5 %. */
  it('recovers a known change of light in one frame of five, in the same crop and in a closer one', () => {
    const change = fc.double({ min: -60, max: 60, noNaN: true });
    fc.assert(
      fc.property(change, fc.boolean(), (mired, close) => {
        const found = miredOf(
          [...still, frame('moved', colourUnder(mired, close ? closeUp : figure))],
          'moved',
        );
        expect(Math.abs(found.mired - mired)).toBeLessThan(Math.max(1.5, 0.05 * Math.abs(mired)));
        expect(Math.abs(found.duv)).toBeLessThan(0.001);
      }),
      { numRuns: 40 },
    );
  });

  it('recovers a change of tint', () => {
    const found = miredOf([...still, frame('green', colourUnder(0, figure, 0.01))], 'green');
    expect(found.duv).toBeCloseTo(0.01, 3);
    expect(Math.abs(found.mired)).toBeLessThan(0.5);
  });

  it('sees no drift where only crop or exposure changed', () => {
    expect(
      Math.abs(miredOf([...still, frame('close', colourUnder(0, closeUp))], 'close').mired),
    ).toBeLessThan(0.5);
    const darker = { swatches: swatchesUnder(lightAt(0), figure, -0.5) };
    const found = miredOf([...still, frame('dark', darker)], 'dark');
    expect(Math.abs(found.mired)).toBeLessThan(0.5);
    expect(found.deltaE00).toBeLessThan(0.2);
  });

  it('places a frame that shares nothing but skin with the set by its skin, with more doubt', () => {
    const bare = { 'head-skin': figure['head-skin']! };
    const found = miredOf([...still, frame('face', colourUnder(20, bare))], 'face');
    expect(Math.abs(found.mired - 20)).toBeLessThan(1.5);
    expect(found.evidence).toBe('skin');
    expect(found.deltaE00).toBeNull();
  });

  it('leaves out a frame without cloth or skin, whose scene tells its light too roughly', () => {
    const scene = { swatches: [], cctK: 4000, mired: 250, reference: 'scene' as const };
    expect(miredOf([...still, frame('scene', scene)], 'scene')).toBeUndefined();
    expect(miredOf(still, 'a').sigmaMired).toBeLessThan(2);
  });

  it('rests the reference on a neutral card where one was found', () => {
    const card = {
      ...colourUnder(0),
      reference: 'neutral-card' as const,
      cctK: 5000,
      mired: 200,
      duv: 0.001,
    };
    const { reference } = measureDrift([...still, frame('card', card)]);
    expect(reference).toMatchObject({ evidence: 'neutral-card' });
    expect(reference!.cctK).toBeCloseTo(5000, -1);
  });

  it('compares two frames with cards by the cards, and the rest by what they share', () => {
    const card = (mired: number) => ({
      ...colourUnder(mired),
      reference: 'neutral-card' as const,
      cctK: 1e6 / (200 + mired),
      mired: 200 + mired,
      duv: 0.001,
    });
    const drift = measureDrift([...still, frame('x', card(0)), frame('y', card(30))]);
    expect(drift.frames.map(({ evidence }) => evidence).slice(-2)).toEqual(['neutral-card', 'neutral-card']);
    expect(Math.abs(drift.frames.at(-1)!.mired - 30)).toBeLessThan(2);
    expect(1e6 / drift.reference!.cctK).toBeCloseTo(200, 0);
  });

  it('compares flash with flash and natural light with natural light first, then the two', () => {
    const lit = ['x', 'y', 'z'].map((id) => frame(id, colourUnder(40), true));
    const drift = measureDrift([...still, ...lit]);
    for (const { mired } of drift.frames) expect(Math.abs(mired)).toBeLessThan(0.5);
    expect(drift.frames.map(({ among }) => among)).toEqual([
      ...Array(4).fill('natural'),
      ...Array(3).fill('flash'),
    ]);
    expect(Math.abs(drift.flashAgainstNatural!.mired - 40)).toBeLessThan(2);
  });

  it('judges one flash frame among natural-light frames with all of them', () => {
    const drift = measureDrift([...still, frame('x', colourUnder(40), true)]);
    expect(drift.flashAgainstNatural).toBeNull();
    expect(Math.abs(drift.frames[4]!.mired - 40)).toBeLessThan(2);
  });

  it('says nothing of two frames, or of frames that tell nothing', () => {
    expect(measureDrift([frame('a', colourUnder(0)), frame('b', colourUnder(30))]).reference).toBeNull();
    const blank = { swatches: [], cctK: null, mired: null, duv: null, sigmaMired: null, reference: null };
    expect(measureDrift(['a', 'b', 'c'].map((id) => frame(id, blank))).frames).toEqual([]);
  });

  it('does not depend on the order of the frames', () => {
    const set = [...still, frame('moved', colourUnder(25, closeUp))];
    const [there, back] = [measureDrift(set), measureDrift([...set].reverse())];
    for (const row of there.frames) {
      expect(back.frames.find(({ frame: id }) => id === row.frame)!.mired).toBeCloseTo(row.mired, 0);
    }
  });
});
