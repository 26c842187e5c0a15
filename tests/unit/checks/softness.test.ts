import { describe, expect, it } from 'vitest';
import { atDeliveryPx, subjectBlurPx } from '../../../pipeline/checks/delivery-size.ts';
import { softEyes } from '../../../pipeline/checks/frame/soft-eyes.ts';
import { softFace } from '../../../pipeline/checks/frame/soft-face.ts';
import { softGarment } from '../../../pipeline/checks/frame/soft-garment.ts';
import { runCheck } from '../../helpers/check-tester.ts';
import { aFrame, blur, type Sections } from '../../helpers/measurement.ts';

const limits = { blur: { cleanup: 1.5, reject: 2.5 } };
const eyes = (over: Sections) => runCheck(softEyes, aFrame(over), limits);
const softEyesIn = (over: Sections['sharpness'], more: Sections = {}) =>
  eyes({ ...more, sharpness: { eyes: blur(3.1), face: blur(3.1), garment: blur(3.1), ...over } })[0];

describe('blur at delivery size', () => {
  // Worked out by hand: a length scales with the picture.
  it.each([
    [6000, 4, 1.6],
    [2400, 4, 4],
    [1200, 4, 8],
    [800, 0.7, 2.1],
  ])('a frame of %d px and %d px native blur shows %d px', (height, nativePx, delivered) => {
    expect(atDeliveryPx(aFrame({ file: { width: 500, height } }), nativePx)).toBe(delivered);
  });

  it('goes by the longer edge whichever way the frame lies', () => {
    expect(atDeliveryPx(aFrame({ file: { width: 6000, height: 4000 } }), 4)).toBe(1.6);
  });

  it('never flatters a small frame: the same scene in fewer px is no sharper', () => {
    // 12 px of blur in a frame of 4800 px are 2 px in one of 800 px.
    expect(atDeliveryPx(aFrame({ file: { width: 600, height: 800 } }), 2)).toBe(
      atDeliveryPx(aFrame({ file: { width: 3600, height: 4800 } }), 12),
    );
  });

  it('of the model is that of its softest part, and null where no part was measured', () => {
    expect(subjectBlurPx(aFrame({ sharpness: { face: blur(1), garment: blur(1.4), eyes: null } }))).toBe(1.4);
    expect(subjectBlurPx(aFrame({ sharpness: { face: null, garment: null, eyes: null } }))).toBeNull();
  });
});

describe('what the blur looks like', () => {
  it('says number, limit, unit and what to do', () => {
    expect(softEyesIn({}, { capture: { fNumber: 1.8 } })?.detail).toBe(
      'Blur in the eyes is 3.1 px at delivery size, more than the 2.5 px limit. Shoot again at f/2.8 to f/4 with the focus on the near eye.',
    );
  });

  it('does not advise the aperture that was already used', () => {
    expect(softEyesIn({}, { capture: { fNumber: 3.5 } })?.detail).toContain('Shoot again with the focus');
  });

  it('tells focus behind the model from general blur', () => {
    const map = (left: number | null, right: number | null, below = 9) => ({
      background: blur(1),
      // Three columns, three rows; the builder's model fills the middle column.
      focusMap: { columns: 3, rows: 3, sigmaPx: [left, 9, right, 9, 0.1, 9, 9, below, 9] },
    });
    const text = (over: Sections['sharpness']) => softEyesIn(over)?.detail;
    expect(text(map(1, 2))).toContain(
      'The background left of the model is sharper, so the focus fell behind.',
    );
    expect(text(map(null, 1))).toContain('The background right of the model is sharper');
    const ground = { columns: 1, rows: 20, sigmaPx: [...Array<number>(19).fill(9), 0.5] };
    expect(text({ background: blur(1), focusMap: ground })).toContain('the focus fell in front');
    expect(text({ ...map(null, null), focusMap: { columns: 1, rows: 1, sigmaPx: [null] } })).toContain(
      'The background is sharper, so the focus fell behind.',
    );
    expect(softEyesIn({ background: blur(3) })?.detail).not.toContain('the focus fell');
  });

  it('tells focus on the cloth', () => {
    expect(softEyesIn({ garment: blur(0.8) })?.detail).toContain('The garment is sharper');
  });

  it('tells shake of the camera from movement of the model by the background', () => {
    const motion = { deg: 30, lengthPx: 6 };
    const moved = { eyes: blur(3.1, motion) };
    expect(softEyesIn({ ...moved, background: blur(3, { deg: 35, lengthPx: 6 }) })?.detail).toContain(
      'It runs 6 px at 30 degrees: the camera shook.',
    );
    expect(softEyesIn({ ...moved, background: blur(3) })?.detail).toContain('the model or the camera moved');
    expect(softEyesIn({ ...moved, background: blur(3, { deg: 120, lengthPx: 6 }) })?.detail).toContain(
      'the model or the camera moved',
    );
  });

  it('takes 1 and 179 degrees for one direction', () => {
    const found = softEyesIn({
      eyes: blur(3.1, { deg: 1, lengthPx: 6 }),
      background: blur(3, { deg: 179, lengthPx: 6 }),
    });
    expect(found?.detail).toContain('the camera shook');
  });

  it('asks for a shutter shorter by as much as the blur is too long', () => {
    // By hand: 1/100 s times 2.5 over 5 is 1/200 s; of the full-stop series 1/250 s is the first that is no longer.
    const found = softEyesIn(
      { eyes: blur(5, { deg: 30, lengthPx: 6 }) },
      { capture: { exposureTimeS: 1 / 100 } },
    );
    expect(found?.detail).toContain('Shoot again at 1/250 s or faster instead of 1/100 s.');
  });

  it('points at the eyes, not at the whole model', () => {
    const region = softEyesIn({})?.region;
    // The builder's eyes are at (0.49, 0.14) and (0.51, 0.14).
    expect(region?.[0]).toBeLessThan(0.49);
    expect((region?.[0] ?? 0) + (region?.[2] ?? 0)).toBeGreaterThan(0.51);
    expect(region?.[2]).toBeLessThan(0.06);
  });
});

describe('parts that were not measured', () => {
  const without = (part: 'eyes' | 'face' | 'garment', reason: string): Sections['sharpness'] => ({
    [part]: null,
    reason: { [part]: reason },
  });
  const tooFew = 'Too few edges could be measured';

  it.each<[string, Sections, string]>([
    ['seen from behind', { framing: { view: 'back' } }, tooFew],
    ['a detail', { framing: { crop: 'detail' } }, tooFew],
    ['no model', { people: { subjects: [] } }, tooFew],
    ['sunglasses', {}, 'The eyes are covered by dark glasses or lie in deep shade.'],
    ['shut', {}, 'The eyes are shut.'],
    ['turned away', {}, 'The face is turned away from the camera.'],
  ])('eyes out of sight are no fault: %s', (_, over, reason) => {
    expect(eyes({ ...over, sharpness: without('eyes', reason) })).toEqual([]);
  });

  it.each([tooFew, 'The eyes are only 6 px wide, too small to measure.'])(
    'eyes in sight without a number need a look: %s',
    (reason) => {
      const [found] = eyes({ sharpness: without('eyes', reason) });
      expect(found).toMatchObject({ severity: 'unmeasured', value: null, limit: null });
      expect(found?.detail).toContain(reason.replace(/\.$/, ''));
    },
  );

  describe('where no face was found', () => {
    const noFace = 'No face was found on the model.';
    const unseen: Sections['sharpness'] = { eyes: null, face: null, reason: { eyes: noFace, face: noFace } };
    const [subject] = aFrame().measurement.people.subjects;
    const headless = {
      ...subject!,
      keypoints: subject!.keypoints.map((point) => ({ ...point, score: 0.2 })),
    };

    it('the body points say whether a face is in sight and perhaps too soft to be found', () => {
      expect(eyes({ sharpness: unseen })).toMatchObject([{ severity: 'unmeasured' }]);
      expect(runCheck(softFace, aFrame({ sharpness: unseen }), limits)).toMatchObject([
        { severity: 'unmeasured' },
      ]);
    });

    it.each<[string, Sections]>([
      ['a head outside the frame or hidden', { people: { subjects: [headless] } }],
      ['a model seen from the side', { framing: { view: 'side' } }],
    ])('%s is no fault', (_, over) => {
      expect(eyes({ ...over, sharpness: unseen })).toEqual([]);
      expect(runCheck(softFace, aFrame({ ...over, sharpness: unseen }), limits)).toEqual([]);
    });
  });

  it('eyes stand in for the face, the face for plain cloth', () => {
    expect(runCheck(softFace, aFrame({ sharpness: without('face', tooFew) }), limits)).toEqual([]);
    expect(runCheck(softGarment, aFrame({ sharpness: without('garment', tooFew) }), limits)).toMatchObject([
      { severity: 'note', value: null },
    ]);
  });

  it('a face with sharp eyes in it is in focus, one with soft eyes as soft as itself', () => {
    const face = (eyesPx: number, facePx: number) =>
      runCheck(softFace, aFrame({ sharpness: { eyes: blur(eyesPx), face: blur(facePx) } }), limits);
    expect(face(0.5, 1.7)).toEqual([]);
    expect(face(2.1, 1.7)).toMatchObject([{ severity: 'cleanup', value: 1.7 }]);
    expect(face(1.6, 1.7)).toMatchObject([{ severity: 'cleanup', value: 1.6 }]);
  });

  it('a model of which no part was measured needs a look', () => {
    const frame = aFrame({
      sharpness: { eyes: null, face: null, garment: null, reason: { face: tooFew, garment: tooFew } },
    });
    expect(runCheck(softFace, frame, limits)).toMatchObject([{ severity: 'unmeasured' }]);
    expect(runCheck(softGarment, frame, limits)).toMatchObject([{ severity: 'unmeasured' }]);
  });

  it('cloth without a model is for another check', () => {
    const frame = aFrame({ people: { subjects: [] }, sharpness: { garment: null } });
    expect(runCheck(softGarment, frame, limits)).toEqual([]);
  });
});
