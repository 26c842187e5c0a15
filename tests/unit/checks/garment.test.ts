import { describe, expect, it } from 'vitest';
import { colourDrift } from '../../../pipeline/checks/garment/colour-drift.ts';
import { droppedFrame } from '../../../pipeline/checks/garment/dropped-frame.ts';
import { missingView } from '../../../pipeline/checks/garment/missing-view.ts';
import { nearDuplicate } from '../../../pipeline/checks/garment/near-duplicate.ts';
import { setSize } from '../../../pipeline/checks/garment/set-size.ts';
import { unevenExposure } from '../../../pipeline/checks/garment/uneven-exposure.ts';
import { unfixedWhiteBalance } from '../../../pipeline/checks/garment/unfixed-white-balance.ts';
import type { CoverageDetail } from '../../../pipeline/contracts/check.ts';
import { runCheck } from '../../helpers/check-tester.ts';
import { blur, type Sections } from '../../helpers/measurement.ts';
import { aGarmentView, aSetView, drifting, flashOff } from '../../helpers/set.ts';

describe('colour-drift', () => {
  const limits = {
    mired: { cleanup: 6 },
    duv: { cleanup: 0.006 },
    garmentColour: { note: 3, cleanup: 5 },
    flashMired: { note: 6, cleanup: 12 },
    flashDuv: { note: 0.006, cleanup: 0.012 },
  };

  it('flags only where drift is beyond the limit by more than twice its standard uncertainty', () => {
    // Worked out by hand: 6 + 2 * 2 = 10.
    expect(runCheck(colourDrift, drifting({ mired: 10, sigmaMired: 2 }), limits)).toEqual([]);
    expect(runCheck(colourDrift, drifting({ mired: 10.1, sigmaMired: 2 }), limits)).toMatchObject([
      { severity: 'cleanup', value: 10.1, limit: 6, unit: 'mired' },
    ]);
    expect(runCheck(colourDrift, drifting({ mired: -30, sigmaMired: 20 }), limits)).toEqual([]);
  });

  it('takes the uncertainty of tint and of garment colour off too', () => {
    // By hand: 0.006 + 2 * 0.002 = 0.010; 5 + 2 * 1 = 7, and 3 + 2 * 1 = 5 for the note.
    expect(runCheck(colourDrift, drifting({ duv: 0.0099, sigmaDuv: 0.002 }), limits)).toEqual([]);
    expect(runCheck(colourDrift, drifting({ duv: 0.0101, sigmaDuv: 0.002 }), limits)).toHaveLength(1);
    expect(runCheck(colourDrift, drifting({ deltaE00: 4.9, sigmaDeltaE00: 1 }), limits)).toEqual([]);
    expect(runCheck(colourDrift, drifting({ deltaE00: 7.1, sigmaDeltaE00: 1 }), limits)).toMatchObject([
      { severity: 'cleanup', unit: 'CIEDE2000' },
    ]);
  });

  it('says whom a frame was compared with, and compares flash with natural light', () => {
    const [own] = runCheck(colourDrift, drifting({ mired: 20, among: 'flash' }), limits);
    expect(own?.detail).toContain('warmer than the other flash frames of its set');
    const lights = (difference: Parameters<typeof flashOff>[0]) =>
      runCheck(colourDrift, flashOff({ sigmaMired: 1, sigmaDuv: 0.001, ...difference }), limits);
    // By hand: 12 + 2 * 1 = 14.
    expect(lights({ mired: -13 })).toMatchObject([{ severity: 'note', title: 'Flash frames cooler' }]);
    expect(lights({ mired: -15 })).toMatchObject([{ severity: 'cleanup' }]);
    expect(lights({ duv: 0.009 })).toMatchObject([{ severity: 'note', title: 'Flash frames greener' }]);
    expect(lights({ mired: 7.9 })).toEqual([]);
  });

  it('names the way: more mired is a lower colour temperature, which looks warmer; positive Duv is green', () => {
    const title = (over: Parameters<typeof drifting>[0]) =>
      runCheck(colourDrift, drifting(over), limits)[0]?.title;
    expect(title({ mired: 20 })).toBe('Colour drift, warmer');
    expect(title({ mired: -20 })).toBe('Colour drift, cooler');
    expect(title({ duv: 0.02 })).toBe('Colour drift, greener');
    expect(title({ duv: -0.02 })).toBe('Colour drift, more magenta');
  });

  it('makes one finding a frame, the gravest', () => {
    expect(runCheck(colourDrift, drifting({ mired: 20, duv: 0.02, deltaE00: 4 }), limits)).toHaveLength(1);
    expect(runCheck(colourDrift, drifting({ deltaE00: 4 }), limits)).toMatchObject([{ severity: 'note' }]);
    expect(runCheck(colourDrift, drifting({ deltaE00: null }), limits)).toEqual([]);
  });

  it('says that a set could not be compared, and expects nothing of a single frame', () => {
    expect(runCheck(colourDrift, aSetView([{}, {}]), limits)).toMatchObject([
      { severity: 'note', value: null },
    ]);
    expect(runCheck(colourDrift, aSetView([{}]), limits)).toEqual([]);
  });
});

describe('uneven-exposure', () => {
  const spread = { spread: { note: 1 } };
  const lit = (skinLuma: number | null, garmentLuma: number | null) => ({
    exposure: { skinLuma, garmentLuma },
  });

  it('compares skin with skin, and cloth where skin shows on too few frames', () => {
    // L* 50 and 76.07 are luminances 0.184 and 0.5: 1.44 stops (CIE 15, by hand).
    const [found] = runCheck(unevenExposure, aSetView([lit(50, 10), lit(76.07, 90)]), spread);
    expect(found?.value).toBeCloseTo(1.44, 2);
    expect(found?.frames).toEqual(['g/1.jpg', 'g/2.jpg']);
    const [cloth] = runCheck(
      unevenExposure,
      aSetView([lit(50, 50), lit(null, 76.07), lit(null, 60)]),
      spread,
    );
    expect(cloth?.detail).toContain('The cloth in 2.jpg is 1.4 stops brighter than in 1.jpg');
  });

  it('takes for exposure only what skin and cloth have in common', () => {
    // A neck in the sun and a nape in the shade, the cloth alike; then the same in cloth that shows another part.
    expect(runCheck(unevenExposure, aSetView([lit(50, 40), lit(76.07, 42)]), spread)).toEqual([]);
    expect(runCheck(unevenExposure, aSetView([lit(50, 40), lit(52, 80)]), spread)).toEqual([]);
  });

  it('never compares skin with cloth, nor black with anything beyond measure', () => {
    expect(runCheck(unevenExposure, aSetView([lit(90, null), lit(null, 5)]), spread)).toEqual([]);
    expect(
      Number(runCheck(unevenExposure, aSetView([lit(0, 0), lit(100, 100)]), spread)[0]?.value),
    ).toBeLessThan(12);
  });
});

describe('unfixed-white-balance', () => {
  const limits = { automatic: { note: 0 }, settings: { note: 1 } };
  const set = (...captures: NonNullable<Sections['capture']>[]) =>
    runCheck(unfixedWhiteBalance, aSetView(captures.map((capture) => ({ capture }))), limits);

  it('names the frames on automatic', () => {
    const found = set({ whiteBalance: 'auto' }, {}, { whiteBalance: 'auto' });
    expect(found[0]).toMatchObject({ value: 2, frames: ['g/1.jpg', 'g/3.jpg'] });
    expect(found[0]?.detail).toContain('2 of 3 frames');
  });

  it('lets the flash body and the natural-light body differ, but neither within itself', () => {
    const flash = { serial: '1', flashFired: true, colourTemperatureK: 5600 };
    const natural = { serial: '2', flashFired: false, colourTemperatureK: 6200 };
    expect(set(flash, natural, flash, natural)).toEqual([]);
    expect(set(flash, natural, { ...natural, colourTemperatureK: 5000 })).toMatchObject([
      { value: 2, frames: ['g/2.jpg', 'g/3.jpg'] },
    ]);
  });

  it('says nothing where no file says', () => {
    expect(set({ whiteBalance: null }, { whiteBalance: null })).toEqual([]);
    expect(set()).toEqual([]);
  });
});

describe('near-duplicate', () => {
  const frame = (dhash64: string, sigma: number, over: Sections = {}): Sections => ({
    ...over,
    likeness: { dhash64 },
    sharpness: { eyes: blur(sigma), face: blur(sigma), garment: blur(sigma) },
  });
  const run = (...frames: Sections[]) => runCheck(nearDuplicate, aSetView(frames, 4), { bits: { note: 4 } });

  it('groups frames alike directly or through others and proposes the sharpest', () => {
    const found = run(
      frame('0000000000000000', 1),
      frame('ffffffffffffffff', 0.5),
      frame('0000000000000003', 0.7),
      frame('000000000000000f', 0.9),
    );
    expect(found).toMatchObject([
      {
        severity: 'note',
        frames: ['g/1.jpg', 'g/3.jpg', 'g/4.jpg'],
        detail: '1.jpg, 3.jpg and 4.jpg look alike. Keep 3.jpg, the sharpest, and leave the others out.',
      },
    ]);
  });

  it('keeps separate groups separate', () => {
    const found = run(
      frame('0000000000000000', 1),
      frame('ffffffffffffffff', 1),
      frame('0000000000000001', 1),
      frame('fffffffffffffffe', 1),
    );
    expect(found.map(({ frames }) => frames)).toEqual([
      ['g/1.jpg', 'g/3.jpg'],
      ['g/2.jpg', 'g/4.jpg'],
    ]);
  });

  it('does not take another view or crop for a duplicate', () => {
    const same = '0123456789abcdef';
    expect(run(frame(same, 1), frame(same, 1, { framing: { view: 'back' } }))).toEqual([]);
    expect(run(frame(same, 1), frame(same, 1, { framing: { crop: 'knee' } }))).toEqual([]);
    expect(run()).toEqual([]);
  });

  it('proposes none where nothing was measured', () => {
    const blind = { sharpness: { eyes: null, face: null, garment: null } };
    expect(run(blind, blind)[0]?.detail).toContain('Keep one of them.');
  });
});

describe('set-size', () => {
  it('counts only what can be delivered and says why it is short', () => {
    const [found] = runCheck(
      setSize,
      aGarmentView({ verdicts: ['pass', 'cleanup', 'reject', 'unreadable'] }),
      { fewest: { cleanup: 5 } },
    );
    expect(found).toMatchObject({ value: 2, limit: 5 });
    expect(found?.detail).toContain('2 usable frames, as 2 of 4 cannot be used');
  });
});

describe('dropped-frame', () => {
  it('says which frames are left out and why', () => {
    const view = aGarmentView({ verdicts: ['pass', 'reject', 'unreadable'] });
    expect(runCheck(droppedFrame, view, { dropped: { note: 0 } })).toMatchObject([
      {
        severity: 'note',
        frames: ['g/2.jpg', 'g/3.jpg'],
        detail:
          '2 of 3 frames cannot be delivered. Rejected: 2.jpg. Unreadable: 3.jpg. Leave them out of the delivery.',
      },
    ]);
    expect(runCheck(droppedFrame, aGarmentView({ verdicts: ['pass'] }), { dropped: { note: 0 } })).toEqual(
      [],
    );
  });
});

describe('missing-view', () => {
  const limits = {
    covering: { reject: 1 },
    unsure: { unmeasured: 1 },
    cutFromWider: { cleanup: 1 },
    trueView: { note: 1 },
  };
  const run = (coverage: Partial<CoverageDetail>) =>
    runCheck(missingView, aGarmentView({ coverage }), limits);

  it('says nothing where everything is covered', () => {
    expect(run({ required: ['front'], covered: { front: 'g/1.jpg' } })).toEqual([]);
  });

  it('asks for a reshoot of what nothing can supply, and names the frames that were lost', () => {
    const [plain, lost] = run({ missing: ['back', 'side'], lost: new Map([['side', ['g/4.jpg']]]) });
    expect(plain).toMatchObject({ severity: 'reject', title: 'Back view missing', value: 0, limit: 1 });
    expect(lost?.detail).toBe(
      'No usable frame shows the side view. 4.jpg would show it but cannot be used. Look for one on the card, or shoot it again.',
    );
    expect(lost?.frames).toEqual(['g/4.jpg']);
  });

  it('asks for a look where a frame may show it', () => {
    expect(run({ missing: ['back'], unsure: new Map([['back', ['g/2.jpg']]]) })).toMatchObject([
      { severity: 'unmeasured', title: 'Back view not certain', frames: ['g/2.jpg'] },
    ]);
  });

  it('asks for a copy of an unreadable frame first', () => {
    const coverage = { missing: ['back'], unsure: new Map([['back', ['g/1.jpg']]]) };
    const [found] = runCheck(missingView, aGarmentView({ verdicts: ['unreadable'], coverage }), limits);
    expect(found?.detail).toContain(
      '1.jpg may. Look, copy unreadable files again, and shoot it if none does.',
    );
  });

  it('asks for a crop where a wider frame is large enough', () => {
    const cut = new Map([['waist', { frame: 'g/3.jpg', longEdgePx: 2550 }]]);
    const [found] = run({ missing: ['waist'], cut, unsure: new Map([['waist', ['g/2.jpg']]]) });
    expect(found).toMatchObject({ severity: 'cleanup', frames: ['g/3.jpg'] });
    expect(found?.detail).toContain('about 2550 px remain');
  });

  it('notes a stand-in', () => {
    expect(run({ standIns: new Map([['side', 'g/5.jpg']]) })).toMatchObject([
      { severity: 'note', title: 'Side view only three-quarter', frames: ['g/5.jpg'] },
    ]);
  });

  it('quotes what it does not know, whatever it is called', () => {
    for (const item of ['lookbook', 'toString', '__proto__']) {
      expect(run({ missing: [item] })[0]?.title).toBe(`"${item}" missing`);
    }
  });
});
