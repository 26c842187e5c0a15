import { describe, expect, it } from 'vitest';
import { chooseSubjects, type Prospect } from '../../../../pipeline/measure/people/choose-subjects.ts';

const width = 600;
const height = 900;
const model: Prospect = { box: [200, 50, 200, 800], score: 0.7, focus: 0.9 };
const choose = (...prospects: Prospect[]) => chooseSubjects(prospects, width, height);

describe('choosing the model', () => {
  it('takes the only one there is and says so', () => {
    const [chosen, ...more] = choose(model);
    expect(chosen?.index).toBe(0);
    expect(chosen?.because).toBe("The only one of a model's size: 89 % of the frame's height.");
    expect(more).toEqual([]);
  });

  it('is not led by size alone: a larger, blurred person cut by the edge stays in the foreground', () => {
    const foreground: Prospect = { box: [0, 20, 260, 880], score: 0.4, focus: 0.3 };
    const chosen = choose(foreground, model);
    expect(chosen.map(({ index }) => index)).toEqual([1]);
    expect(chosen[0]?.because).toContain('in the middle, the sharpest, with the clearest pose');
    expect(chosen[0]?.because).not.toContain('largest');
  });

  it('takes two who stand beside each other at one distance for two models', () => {
    const left: Prospect = { box: [90, 70, 200, 760], score: 0.6, focus: 0.9 };
    const right: Prospect = { box: [310, 40, 200, 790], score: 0.65, focus: 0.85 };
    const chosen = choose(left, right);
    expect(chosen.map(({ index }) => index).sort()).toEqual([0, 1]);
    expect(chosen[1]?.because).toContain('Poses beside the first');
  });

  it.each([
    ['smaller', { box: [420, 250, 120, 560], score: 0.6, focus: 0.9 }],
    ['blurred', { box: [420, 60, 170, 790], score: 0.6, focus: 0.5 }],
    ['cut by the edge', { box: [430, 60, 170, 790], score: 0.6, focus: 0.9 }],
    ['on other ground', { box: [420, 0, 170, 680], score: 0.6, focus: 0.9 }],
    ['hardly posed', { box: [420, 60, 170, 790], score: 0.25, focus: 0.9 }],
    ['the same person found twice', { box: [210, 60, 190, 780], score: 0.6, focus: 0.9 }],
  ] as const)('leaves out a second who is %s', (_, other) => {
    expect(choose(model, other).map(({ index }) => index)).toEqual([0]);
  });

  it('finds no model among small people', () => {
    expect(choose({ box: [300, 400, 40, 170], score: 0.9, focus: 1 })).toEqual([]);
  });

  it('works without any measure of focus', () => {
    expect(choose({ ...model, focus: null })[0]?.index).toBe(0);
  });
});
