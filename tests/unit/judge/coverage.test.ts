import { describe, expect, it } from 'vitest';
import type { JudgedFrame } from '../../../pipeline/contracts/check.ts';
import type { FrameVerdict } from '../../../pipeline/contracts/finding.ts';
import { coverage } from '../../../pipeline/judge/coverage.ts';
import { missingBecause } from '../../../pipeline/judge/missing-words.ts';
import { deepFreeze } from '../../helpers/check-tester.ts';
import { aDelivery, blur, type Sections } from '../../helpers/measurement.ts';
import { judgedFrame } from '../../helpers/set.ts';

type Framing = NonNullable<Sections['framing']>;

const frame = (
  id: string,
  framing: Framing,
  verdict: FrameVerdict = 'pass',
  sigma = 0.8,
  more: Sections = {},
): JudgedFrame =>
  judgedFrame(id, verdict, {
    ...more,
    framing,
    sharpness: { eyes: blur(sigma), face: blur(sigma), garment: blur(sigma) },
  });

const cover = (required: readonly string[], ...frames: JudgedFrame[]) =>
  coverage(deepFreeze(required), deepFreeze(frames), aDelivery);

describe('coverage', () => {
  it('lets one frame cover its view and its crop at once, in the order asked', () => {
    const found = cover(['full', 'front', 'back'], frame('a', { view: 'front', crop: 'full' }));
    expect(Object.entries(found.covered)).toEqual([
      ['full', 'a'],
      ['front', 'a'],
    ]);
    expect(found.missing).toEqual(['back']);
  });

  it('counts passing and cleanup frames, not rejected or unreadable ones', () => {
    const back: Framing = { view: 'back' };
    expect(cover(['back'], frame('a', back, 'cleanup')).covered).toEqual({ back: 'a' });
    const lost = cover(['back'], frame('a', back, 'reject'));
    expect(lost.missing).toEqual(['back']);
    expect([...lost.lost]).toEqual([['back', ['a']]]);
  });

  it('takes a passing frame before a sharper one that needs cleanup, then the sharpest, then the earliest', () => {
    const back: Framing = { view: 'back' };
    const found = cover(
      ['back'],
      frame('soft', back, 'pass', 1.2),
      frame('dirty', back, 'cleanup', 0.5),
      frame('sharp', back, 'pass', 0.7),
      frame('twin', back, 'pass', 0.7),
    );
    expect(found.covered).toEqual({ back: 'sharp' });
  });

  it('ranks every usable frame and says by what', () => {
    const dirty: JudgedFrame = {
      ...frame('dirty', { view: 'front' }, 'cleanup', 0.5),
      findings: [
        {
          check: 'background-person',
          severity: 'cleanup',
          title: 'Background person, light work',
          detail: '',
          value: 1,
          limit: 0,
          unit: 'share',
          source: 's',
        },
      ],
    };
    const found = cover(
      ['front', 'back'],
      frame('turned', { view: 'three-quarter' }, 'pass', 0.4),
      dirty,
      frame('good', { view: 'front' }, 'pass', 0.9),
      frame('lost', { view: 'front' }, 'reject'),
    );
    expect(found.ranked).toEqual({
      front: [
        { frame: 'good', because: 'passes, blur 0.9 px at delivery size' },
        {
          frame: 'dirty',
          because: 'needs work (Background person, light work), blur 0.5 px at delivery size',
        },
        { frame: 'turned', because: 'three-quarter view, passes, blur 0.4 px at delivery size' },
      ],
      back: [],
    });
  });

  it('puts a frame without a sharpness last of its verdict', () => {
    const blind = judgedFrame('blind', 'pass', {
      framing: { view: 'back' },
      sharpness: { eyes: null, face: null, garment: null },
    });
    expect(cover(['back'], blind, frame('seen', { view: 'back' }, 'pass', 3)).covered).toEqual({
      back: 'seen',
    });
    expect(cover(['back'], blind).covered).toEqual({ back: 'blind' });
  });

  it('does not take a close detail for a view', () => {
    expect(cover(['front', 'detail'], frame('a', { view: 'front', crop: 'detail' }))).toMatchObject({
      covered: { detail: 'a' },
      missing: ['front'],
    });
  });

  it('asks for feet in a full length', () => {
    expect(cover(['full'], frame('a', { crop: 'full', feetVisible: 0 })).missing).toEqual(['full']);
    expect(cover(['full'], frame('a', { crop: 'full', feetVisible: 1, view: 'side' })).missing).toEqual([]);
  });
});

describe('three-quarter views', () => {
  const turned: Framing = { view: 'three-quarter' };

  it('stand in for front, then for side, where no true view is there', () => {
    const both = cover(['side', 'front'], frame('a', turned, 'pass', 1), frame('b', turned, 'pass', 0.7));
    expect(both.covered).toEqual({ front: 'b', side: 'a' });
    expect([...both.standIns]).toEqual([
      ['front', 'b'],
      ['side', 'a'],
    ]);
  });

  it('never stand in for both with one frame', () => {
    expect(cover(['front', 'side'], frame('a', turned))).toMatchObject({
      covered: { front: 'a' },
      missing: ['side'],
    });
  });

  it('yield to a true view, however soft', () => {
    const found = cover(
      ['front'],
      frame('a', turned, 'pass', 0.5),
      frame('b', { view: 'front' }, 'cleanup', 2),
    );
    expect(found.covered).toEqual({ front: 'b' });
    expect(found.standIns.size).toBe(0);
  });

  it('stand in for no back view, and cover their own name', () => {
    expect(cover(['back', 'three-quarter'], frame('a', turned))).toMatchObject({
      covered: { 'three-quarter': 'a' },
      missing: ['back'],
    });
  });
});

describe('what could not be told', () => {
  it('names the frames of which the view is unknown', () => {
    const found = cover(['back'], frame('a', { view: 'unknown' }), frame('b', { view: 'front' }));
    expect([...found.unsure]).toEqual([['back', ['a']]]);
  });

  it('lets one such frame stand for one view and one crop, not for two', () => {
    const turned = frame('a', { view: 'unknown' });
    expect(cover(['back', 'side'], turned).unsure.size).toBe(0);
    expect([...cover(['back', 'side'], turned, frame('b', { view: 'unknown' })).unsure.keys()]).toEqual([
      ...['back', 'side'],
    ]);
  });

  it('counts on an unreadable frame, which may only need copying again, for one view and one crop', () => {
    const lost = judgedFrame('a', 'unreadable');
    expect([...cover(['back', 'knee'], lost).unsure]).toEqual([
      ['back', ['a']],
      ['knee', ['a']],
    ]);
    expect([...cover(['back', 'side', 'knee'], lost).unsure.keys()]).toEqual(['knee']);
  });

  it('takes a frame without a model for a possible detail and for nothing else', () => {
    const none = frame('a', { crop: 'none', view: 'unknown' }, 'cleanup', 1, { people: { subjects: [] } });
    expect([...cover(['detail', 'back', 'waist'], none).unsure]).toEqual([['detail', ['a']]]);
  });

  it('takes a model whose crop could not be told for any crop but a detail', () => {
    const found = cover(['detail', 'waist'], frame('a', { crop: 'none', view: 'front' }));
    expect([...found.unsure]).toEqual([['waist', ['a']]]);
  });

  it('asks a person about names that are not ours, whatever they are called', () => {
    const found = cover(['lookbook', '__proto__', 'toString'], frame('a', {}));
    expect(found.missing).toEqual(['lookbook', '__proto__', 'toString']);
    expect([...found.unsure.keys()]).toEqual(found.missing);
    expect(found.covered).toEqual({});
    expect([...found.cut.keys()]).toEqual([]);
  });
});

describe('crops cut from a wider frame', () => {
  const full = (height: number) => ({ file: { width: height * (2 / 3), height } });

  it('needs the delivery long edge to remain', () => {
    // By hand: (0.86 * 0.45 + 0.08) * 6000 px = 2802 px and 0.467 * 5000 px = 2335 px against 2400 px.
    const large = cover(['waist'], frame('a', { crop: 'full' }, 'pass', 0.8, full(6000)));
    expect(large.missing).toEqual(['waist']);
    expect([...large.cut]).toEqual([['waist', { frame: 'a', longEdgePx: 2802 }]]);
    expect(cover(['waist'], frame('a', { crop: 'full' }, 'pass', 0.8, full(5000))).cut.size).toBe(0);
  });

  it('cuts a waist crop from a knee crop, but no knee crop from a waist crop', () => {
    const knee = frame('a', { crop: 'knee' }, 'pass', 0.8, full(6000));
    expect(cover(['waist'], knee).cut.has('waist')).toBe(true);
    const waist = frame('a', { crop: 'waist' }, 'pass', 0.8, full(6000));
    expect(cover(['knee'], waist).cut.size).toBe(0);
  });

  it('does not offer what is there already, nor a rejected frame', () => {
    const there = frame('b', { crop: 'waist' });
    expect(cover(['waist'], frame('a', { crop: 'full' }, 'pass', 0.8, full(6000)), there).cut.size).toBe(0);
    expect(cover(['waist'], frame('a', { crop: 'full' }, 'reject', 0.8, full(6000))).cut.size).toBe(0);
  });
});

describe('why something is missing, and whether cleanup would supply it', () => {
  const why = (required: readonly string[], ...frames: JudgedFrame[]) =>
    missingBecause(cover(required, ...frames), frames);
  const soft = { check: 'soft-eyes', severity: 'reject', title: 'Soft eyes', detail: '' } as const;
  const bad = { ...soft, value: 3, limit: 2.5, unit: 'px', source: 'test' };

  it('a wider frame that it can be cut from supplies it', () => {
    const wide = frame('g/a.jpg', { crop: 'full' }, 'pass', 0.8, { file: { width: 4000, height: 6000 } });
    expect(why(['waist'], wide).waist).toBe(
      'Cleanup would supply it: a.jpg can be cut to it with 2802 px left on the long edge.',
    );
  });

  it('a frame that may show it wants a look', () => {
    expect(why(['back'], frame('g/a.jpg', { view: 'unknown' })).back).toBe(
      'A person must look: a.jpg may show it.',
    );
  });

  it('a rejected frame does not, and says for what it is rejected', () => {
    const lost = { ...frame('g/a.jpg', { view: 'back' }, 'reject'), findings: [bad, bad] };
    expect(why(['back'], lost).back).toBe(
      'Cleanup would not supply it: a.jpg shows it, but is rejected (Soft eyes).',
    );
  });

  it('nothing does where no frame shows it, and what is there has no reason', () => {
    expect(why(['front', 'back'], frame('g/a.jpg', { view: 'front' }))).toEqual({
      back: 'No frame shows it, so cleanup cannot supply it.',
    });
  });
});
