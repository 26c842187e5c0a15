import { describe, expect, it } from 'vitest';
import type { PersonMask } from '../../../../pipeline/measure/networks/blazepose.ts';
import {
  backgroundPerson,
  edgeThatCuts,
  gapBetween,
  isSettled,
  keepPeople,
  showsSubject,
} from '../../../../pipeline/measure/people/background.ts';
import { maskShare } from '../../../../pipeline/measure/people/mask-share.ts';
import type { BoxTuple } from '../../../../pipeline/numeric/boxes.ts';

const size = { width: 600, height: 900 };
const subject: BoxTuple = [200, 100, 200, 800];

/** A mask over the whole of a 100 x 100 px picture whose left half is the person. */
const leftHalf: PersonMask = {
  presence: 1,
  side: 10,
  cover: Float32Array.from({ length: 100 }, (_, cell) => (cell % 10 < 5 ? 1 : 0)),
  region: { x: 0, y: 0, width: 100, height: 100 },
  points: [],
};

describe('the share of a mask', () => {
  it('is counted both ways', () => {
    expect(maskShare(leftHalf)([0, 0, 50, 100])).toEqual({ ofBox: 1, ofPerson: 1 });
    expect(maskShare(leftHalf)([0, 0, 100, 100])).toEqual({ ofBox: 0.5, ofPerson: 1 });
    expect(maskShare(leftHalf)([50, 0, 50, 100])).toEqual({ ofBox: 0, ofPerson: 0 });
    expect(maskShare(leftHalf)([40, 0, 20, 50])).toEqual({ ofBox: 0.5, ofPerson: 0.1 });
  });

  it('is 0 outside the mask and for an empty mask', () => {
    expect(maskShare(leftHalf)([300, 300, 50, 50])).toEqual({ ofBox: 0, ofPerson: 0 });
    expect(maskShare({ ...leftHalf, cover: new Float32Array(100) })([0, 0, 50, 50]).ofPerson).toBe(0);
  });
});

describe('a box that shows the subject', () => {
  const shape = (ofBox: number, ofPerson: number) => [{ box: subject, share: () => ({ ofBox, ofPerson }) }];

  it('is one around a part of her', () => {
    expect(showsSubject([210, 500, 180, 400], shape(0.4, 0.45))).toBe(true);
    expect(showsSubject([250, 600, 40, 200], shape(0.8, 0.05))).toBe(true);
    expect(showsSubject([190, 90, 220, 800], shape(0, 0))).toBe(true);
  });

  it('is not one of somebody seen beside or behind her', () => {
    expect(showsSubject([350, 300, 60, 200], shape(0.3, 0.04))).toBe(false);
    expect(showsSubject([500, 300, 60, 200], shape(0.9, 0.9))).toBe(false);
  });
});

describe('keeping people', () => {
  const at = (x: number, score: number, height = 200) => ({
    box: [x, 300, 60, height] as BoxTuple,
    score,
  });

  it('lets the weak in only with a sure one', () => {
    expect(keepPeople([at(0, 0.32), at(100, 0.26)])).toEqual([]);
    expect(keepPeople([at(0, 0.34), at(100, 0.26)])).toHaveLength(2);
    expect(keepPeople([at(0, 0.34), at(100, 0.19)])).toHaveLength(1);
  });

  it('says what a faint one or a part of another may be', () => {
    const kept = keepPeople([at(0, 0.6), at(0, 0.4, 100), at(200, 0.24)]);
    expect(kept.map(({ mayBe }) => mayBe)).toEqual([
      null,
      'part of the person it overlaps',
      'a shape, statue, poster or reflection',
    ]);
  });

  it('keeps one box a person', () => {
    expect(keepPeople([at(0, 0.6), at(5, 0.5), at(100, 0.4)])).toHaveLength(2);
  });
});

describe('what further looks could change', () => {
  const seen = (score: number, seenBy: number) => ({ box: [0, 300, 60, 200] as BoxTuple, score, seenBy });

  it('is nothing where nobody may be', () => {
    expect(isSettled([], 1)).toBe(true);
    expect(isSettled([seen(0.14, 1)], 1)).toBe(true);
    expect(isSettled([seen(0.16, 1)], 2)).toBe(false);
  });

  it('is nothing where two witnesses agree on everybody', () => {
    expect(isSettled([seen(0.5, 2), seen(0.26, 2), seen(0.1, 1)], 2)).toBe(true);
    expect(isSettled([seen(0.5, 2), seen(0.24, 2)], 2)).toBe(false);
    expect(isSettled([seen(0.5, 2), seen(0.9, 1)], 2)).toBe(false);
  });

  it('is who else there is, while nobody is sure or one look was taken', () => {
    expect(isSettled([seen(0.3, 2)], 2)).toBe(false);
    expect(isSettled([seen(0.9, 2)], 1)).toBe(false);
  });
});

describe('facts of a background person', () => {
  it('are shares of the frame', () => {
    const person = backgroundPerson(
      { box: [-6, 300, 66, 180], score: 0.5, mayBe: null },
      null,
      [subject],
      size,
    );
    expect(person.box).toEqual([0, 300 / 900, 60 / 600, 180 / 900]);
    expect(person.shareOfFrame).toBeCloseTo((60 * 180) / (600 * 900), 12);
    expect(person.cutBy).toBe('left');
    expect(person.overlapWithSubject).toBe(0);
    expect(person.distanceToSubject).toBeCloseTo(140 / 900, 12);
  });

  it('know the overlap with the nearest subject, and no distance without one', () => {
    const behind = { box: [180, 300, 40, 180] as BoxTuple, score: 0.5, mayBe: null };
    const person = backgroundPerson(behind, 0.4, [subject], size);
    expect(person.overlapWithSubject).toBeCloseTo(0.5, 12);
    expect(person.distanceToSubject).toBe(0);
    expect(backgroundPerson(behind, null, [], size).distanceToSubject).toBeNull();
  });

  it.each([
    [[0, 300, 50, 100], 'left'],
    [[550, 300, 50, 100], 'right'],
    [[300, 800, 50, 100], 'bottom'],
    [[300, 0, 50, 100], 'top'],
    [[300, 300, 50, 100], null],
  ] as const)('%j is cut by %s', (box, edge) => {
    expect(edgeThatCuts(box, size)).toBe(edge);
  });

  it('measure the gap to the corner too', () => {
    expect(gapBetween([0, 0, 10, 10], [13, 14, 5, 5])).toBe(5);
    expect(gapBetween([0, 0, 10, 10], [5, 5, 10, 10])).toBe(0);
  });
});
