import { describe, expect, it } from 'vitest';
import type { Delivery } from '../../../pipeline/contracts/delivery.ts';
import type { Measurement } from '../../../pipeline/contracts/measurement/measurement.ts';
import { isFromCards } from '../../../pipeline/intake/by-capture/camera-files.ts';
import { regroup } from '../../../pipeline/intake/by-capture/regroup.ts';
import { aMeasurement, type Sections } from '../../helpers/measurement.ts';

const frames = ['IMG_0001.JPG', 'IMG_0002.JPG', 'IMG_0003.JPG', 'IMG_0004.JPG', 'IMG_0005.JPG'];
const delivery: Delivery = {
  root: '/d',
  garments: [{ id: 'd', frames, required: null, columns: {} }],
  frames: frames.map((id) => ({ id, garment: 'd', path: `/d/${id}` })),
  grouping: 'capture',
  remarks: ['first'],
};

function measured(minute: number | null, over: Sections & Pick<Measurement, 'tag'> = {}): Measurement {
  const takenAt = minute === null ? null : `2026-05-14T10:${String(minute).padStart(2, '0')}:00`;
  const { tag, ...sections } = over;
  return { ...aMeasurement({ capture: { takenAt }, ...sections }), ...(tag && { tag }) };
}

const all = (...made: readonly Measurement[]): ReadonlyMap<string, Measurement> =>
  new Map(made.map((measurement, index) => [frames[index]!, measurement]));

const red = { text: '=RED', symbology: 'QRCode', shareOfFrame: 0.1 };

describe('a delivery straight from the cards', () => {
  it('is grouped anew once frames are measured; the picture of the tag is not delivered', () => {
    const of = all(measured(0, { tag: red }), measured(1), measured(2), measured(14), measured(15));
    const { delivery: after } = regroup(delivery, of);
    expect(after.garments.map(({ id, frames: own }) => [id, own])).toEqual([
      ['=RED', ['IMG_0002.JPG', 'IMG_0003.JPG']],
      ['garment-02', ['IMG_0004.JPG', 'IMG_0005.JPG']],
    ]);
    expect(after.frames.map(({ id, garment }) => [id, garment])).toEqual([
      ['IMG_0002.JPG', '=RED'],
      ['IMG_0003.JPG', '=RED'],
      ['IMG_0004.JPG', 'garment-02'],
      ['IMG_0005.JPG', 'garment-02'],
    ]);
    expect(after.remarks[0]).toBe('first');
    expect(after.remarks.join(' ')).toContain('2 garments were told apart, 1 by photographed tags');
    expect(after.remarks.join(' ')).toContain('1 frame shows a tag and is not delivered');
  });

  it('keeps a frame of a model with a small code in it: that is a shop sign or a label', () => {
    const small = { ...red, shareOfFrame: 0.001 };
    const of = all(measured(0, { tag: small }), measured(1), measured(2), measured(3), measured(4));
    expect(regroup(delivery, of).delivery.garments.map(({ frames: own }) => own.length)).toEqual([5]);
  });

  it('stays as it is without any capture time, with a word about what to do', () => {
    const of = all(measured(null), measured(null), measured(null), measured(null), measured(null));
    const { delivery: after } = regroup(delivery, of);
    expect(after.garments).toEqual(delivery.garments);
    expect(after.remarks.at(-1)).toMatch(/carry no capture time.*--garments/);
  });

  it('says how far a clock was moved, and names the body in the words of the option', () => {
    const bodies = [0, 1, 0, 1, 0].map((serial, index) =>
      measured(index + 30 * serial, {
        capture: {
          takenAt: `2026-05-14T1${serial}:0${index}:00`,
          make: 'Maker',
          model: 'M',
          serial: String(serial),
        },
      }),
    );
    const moved = regroup(delivery, all(...bodies), new Map([['Maker M 1', -3_600_000]]));
    expect(moved.delivery.remarks.join(' ')).toContain(
      'The clock of Maker M 1 was put back by 1 h, as the command says.',
    );
    expect(moved.delivery.garments.length).toBe(1);
    const unknown = regroup(delivery, all(...bodies)).delivery.remarks.join(' ');
    expect(unknown).toContain('say so with --clock "Maker M 1=');
    expect(unknown).toContain('Not sure about');
  });

  it('no other is touched', () => {
    const given: Delivery = { ...delivery, grouping: 'given' };
    expect(regroup(given, all(measured(0))).delivery).toBe(given);
  });
});

describe('what comes straight from the cards', () => {
  // Names by DCF 2.0 (CIPA DC-009) and of bodies that write five digits.
  it.each([
    [['IMG_0001.JPG', 'IMG_0002.JPG'], true],
    [['DSC00001.JPG', '_DSC0002.jpg', 'P1010003.JPG'], true],
    [['DCIM/100CANON/IMG_0001.JPG', 'DCIM/101MSDCF/DSC00002.JPG'], true],
    [['coat/IMG_0001.JPG', 'dress/IMG_0002.JPG'], false],
    [['coat_01.jpg', 'coat_02.jpg'], false],
    [['IMG_0001.JPG'], false],
  ])('%j: %s', (names, expected) => {
    expect(isFromCards(names)).toBe(expected);
  });
});
