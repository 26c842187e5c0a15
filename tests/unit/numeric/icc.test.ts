import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseIcc, type ToneCurve } from '../../../pipeline/numeric/icc.ts';
import {
  type CurveBytes,
  descriptionV2,
  gammaCurve,
  iccProfile,
  matrixProfile,
  parametricCurve,
  sampledCurve,
} from '../../helpers/icc-maker.ts';

function curveOf(bytes: CurveBytes): ToneCurve {
  const parsed = parseIcc(iccProfile({ space: 'GRAY', tags: { kTRC: bytes } }));
  const curve = parsed.ok ? parsed.profile.curves?.[0] : undefined;
  if (curve === undefined) throw new Error('expected a curve');
  return curve;
}

describe('tone curves (ICC.1:2010, 10.5 and 10.16)', () => {
  it('gamma as u8Fixed8', () => {
    expect(curveOf(gammaCurve(1.8))(0.5)).toBeCloseTo(0.5 ** (461 / 256), 12);
  });

  it('no entry is the identity', () => {
    const empty = Uint8Array.from([...Buffer.from('curv'), 0, 0, 0, 0, 0, 0, 0, 0]);
    expect(curveOf(empty)(0.3)).toBe(0.3);
  });

  it('samples are joined by straight lines', () => {
    const curve = curveOf(sampledCurve(3, (x) => x * x));
    expect(curve(0.25)).toBeCloseTo(0.125, 4);
    expect([curve(-1), curve(0), curve(1), curve(2)]).toEqual([0, 0, 1, 1]);
  });

  /** Each formula of table 65, worked by hand at one point on either side of its join. */
  it.each([
    [0, [2], 0.5, 0.25],
    [1, [2, 2, -0.5], 0.75, 1],
    [1, [2, 2, -0.5], 0.2, 0],
    [2, [2, 2, -0.5, 0.125], 0.75, 1.125],
    [2, [2, 2, -0.5, 0.125], 0.2, 0.125],
    [3, [2, 1, 0, 0.5, 0.25], 0.5, 0.25],
    [3, [2, 1, 0, 0.5, 0.25], 0.125, 0.0625],
    [4, [2, 1, 0, 0.5, 0.25, 0.0625, 0.03125], 0.5, 0.3125],
    [4, [2, 1, 0, 0.5, 0.25, 0.0625, 0.03125], 0.125, 0.09375],
  ] as const)('function type %i of %j at %d is %d', (kind, parameters, x, y) => {
    expect(curveOf(parametricCurve(kind, parameters))(x)).toBeCloseTo(y, 4);
  });

  it('an unknown function type is no curve', () => {
    const parsed = parseIcc(iccProfile({ space: 'GRAY', tags: { kTRC: parametricCurve(9, [1]) } }));
    expect(parsed.ok && parsed.profile.curves).toBeNull();
  });
});

describe('the rest of a profile', () => {
  it('reads names of version 2 and 4, other scripts included', () => {
    const four = parseIcc(matrixProfile('srgb', '色彩 Ж'));
    expect(four.ok && four.profile.description).toBe('色彩 Ж');
    const two = parseIcc(iccProfile({ version: 2, tags: { desc: descriptionV2('Plain') } }));
    expect(two.ok && [two.profile.description, two.profile.colorants, two.profile.hasTable]).toEqual([
      'Plain',
      null,
      false,
    ]);
  });

  it('tells a profile with a table', () => {
    const parsed = parseIcc(iccProfile({ tags: { A2B0: new Uint8Array(40) } }));
    expect(parsed.ok && parsed.profile.hasTable).toBe(true);
  });

  it.each([
    ['too short', Buffer.alloc(60), 'shorter than its own header'],
    ['not a profile', Buffer.alloc(300), 'lacks the signature'],
    ['cut off', matrixProfile('srgb', 'x').subarray(0, 400), 'cut off before its end'],
  ])('says what is wrong: %s', (_, bytes, words) => {
    const parsed = parseIcc(bytes);
    expect(parsed.ok ? '' : parsed.problem).toContain(words);
  });

  it('never throws, whatever the bytes, and curves stay numbers', () => {
    const whole = matrixProfile('display-p3', 'Display P3');
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.nat(whole.length - 1), fc.nat(255)), { maxLength: 20 }),
        fc.nat(whole.length),
        (changes, length) => {
          const bytes = Buffer.from(whole.subarray(0, length));
          for (const [at, value] of changes) if (at < bytes.length) bytes[at] = value;
          const parsed = parseIcc(bytes);
          if (parsed.ok)
            for (const curve of parsed.profile.curves ?? []) expect(typeof curve(0.5)).toBe('number');
        },
      ),
      { numRuns: 2000, seed: 11 },
    );
  });
});
