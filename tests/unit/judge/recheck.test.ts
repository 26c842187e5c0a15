import { describe, expect, it } from 'vitest';
import type { Finding } from '../../../pipeline/contracts/finding.ts';
import type { Results } from '../../../pipeline/contracts/results.ts';
import { matchRetouched } from '../../../pipeline/intake/match-retouched.ts';
import { dayOf } from '../../../pipeline/judge/day/day.ts';
import { judgeDelivery, type Measured } from '../../../pipeline/judge/judge-delivery.ts';
import { recheckFindings } from '../../../pipeline/judge/recheck.ts';
import { compareRetouched } from '../../../pipeline/tasks/recheck.ts';
import { demoResults } from '../../helpers/demo-results.ts';
import { aMeasurement, person, type Sections } from '../../helpers/measurement.ts';
import { aProfile } from '../../helpers/profile.ts';

const finding = (over: Partial<Finding> = {}): Finding => ({
  check: 'background-person',
  severity: 'cleanup',
  title: 'Background person',
  detail: '',
  value: 0.02,
  limit: 0.01,
  unit: 'share',
  source: '',
  ...over,
});

const outcomesOf = (before: Finding[], now: Finding[]) =>
  recheckFindings(before, now).map(({ outcome, finding: { check } }) => `${outcome}: ${check}`);

describe('findings before and after', () => {
  it('one person painted out is cleared, another in another place is still there', () => {
    const left = finding({ region: [0.05, 0.3, 0.1, 0.3] });
    const right = finding({ region: [0.8, 0.3, 0.1, 0.3] });
    const rightAgain = finding({ region: [0.81, 0.31, 0.09, 0.28] });
    const made = recheckFindings([left, right], [rightAgain]);
    expect(made.map(({ outcome, finding: one }) => [outcome, one])).toEqual([
      ['cleared', left],
      ['still there', right],
    ]);
  });

  it('somebody not found again in a place that looks as before is still there', () => {
    const [left, right] = [
      finding({ region: [0.05, 0.3, 0.1, 0.3] }),
      finding({ region: [0.8, 0.3, 0.1, 0.3] }),
    ];
    const made = recheckFindings([left, right], [], true, ([x]) => x === 0.8);
    expect(made.map(({ outcome, now }) => [outcome, now])).toEqual([
      ['cleared', null],
      ['still there', null],
    ]);
    // A number that came down is cleared, though a little sharpening hardly changes the place.
    const soft = finding({ check: 'soft-eyes', region: [0.4, 0.1, 0.1, 0.1] });
    expect(recheckFindings([soft], [], true, () => true)[0]?.outcome).toBe('cleared');
  });

  it('what was not there before is new, also of the same check in another place', () => {
    expect(
      outcomesOf(
        [finding({ region: [0.1, 0.1, 0.1, 0.1] })],
        [finding({ region: [0.7, 0.1, 0.1, 0.1] }), finding({ check: 'soft-eyes' })],
      ),
    ).toEqual(['cleared: background-person', 'new: background-person', 'new: soft-eyes']);
  });

  it('what is accepted, or only a note, is neither cleared nor new', () => {
    const decision = { decided: 'accept', who: 'Ana', why: 'x' } as const;
    expect(
      outcomesOf([finding({ decision }), finding({ check: 'high-iso', severity: 'note' })], [finding()]),
    ).toEqual([]);
    expect(outcomesOf([], [finding({ severity: 'note' })])).toEqual([]);
  });

  it('what is still seen in its place is still there, also where it is now taken for less', () => {
    const region = [0.1, 0.1, 0.1, 0.3] as const;
    expect(outcomesOf([finding({ region })], [finding({ region, severity: 'note' })])).toEqual([
      'still there: background-person',
    ]);
  });

  it('a number that is a note by now is cleared', () => {
    expect(outcomesOf([finding()], [finding({ severity: 'note' })])).toEqual(['cleared: background-person']);
  });
});

describe('names of retouched files', () => {
  const frames = [
    'coat/a-0412.jpg',
    'coat/a-0415.jpg',
    'dress/a-0412.jpg',
    'dress/b-1.jpg',
    'dress/b-12.jpg',
  ];
  it.each([
    ['coat/a-0412.tif', 'coat/a-0412.jpg'],
    ['A-0415.JPG', 'coat/a-0415.jpg'],
    ['a-0415_retouched.tif', 'coat/a-0415.jpg'],
    ['b-12-final (2).png', 'dress/b-12.jpg'],
    ['b-1 copy.png', 'dress/b-1.jpg'],
    ['a-0412.jpg', null],
    ['b-123.jpg', null],
  ])('%s: %s', (file, frame) => {
    const { fileOf, remarks } = matchRetouched([file], frames);
    expect([...fileOf.keys()]).toEqual(frame === null ? [] : [frame]);
    expect(remarks.length).toBe(frame === null ? 1 : 0);
  });

  it('two files for one frame: the first counts, the other is named', () => {
    const { fileOf, remarks } = matchRetouched(['b-1-v2.jpg', 'b-1.jpg'], frames);
    expect(fileOf.size).toBe(1);
    expect(remarks[0]).toMatch(/stands for dress\/b-1\.jpg already/);
  });
});

describe('a retouched frame among its set', () => {
  const profile = aProfile({ checks: { 'set-size': { off: true } } });
  const made = (over: Sections): Measured => ({
    measurement: aMeasurement({ framing: { view: 'front', crop: 'full' }, ...over }),
  });
  const two = { people: { background: [person(), person({ box: [0.8, 0.3, 0.05, 0.2] })] } };

  function before(): Results {
    const delivery = {
      root: '/d',
      garments: [{ id: 'coat', frames: ['coat/1.jpg'], required: ['front'], columns: {} }],
      frames: [{ id: 'coat/1.jpg', garment: 'coat', path: '/d/coat/1.jpg' }],
      remarks: [],
    };
    const judged = judgeDelivery(delivery, new Map([['coat/1.jpg', made(two)]]), profile);
    return { ...demoResults, ...judged, day: dayOf(judged.frames) };
  }
  const delivery = {
    root: '/r',
    garments: [{ id: 'coat', frames: ['coat/1.jpg'], required: ['front'], columns: {} }],
    frames: [{ id: 'coat/1.jpg', garment: 'coat', path: '/r/1.jpg' }],
    remarks: [],
  };
  const retouched = (measured: Measured) =>
    compareRetouched(before(), { delivery }, new Map([['coat/1.jpg', measured]]), profile)[0]!;

  it('is judged again with the same limits', () => {
    const one = { people: { background: [person({ box: [0.8, 0.3, 0.05, 0.2] })] } };
    expect(
      retouched(made(one))
        .findings.map(({ outcome }) => outcome)
        .sort(),
    ).toEqual(['cleared', 'still there']);
    expect(retouched(made({})).findings.map(({ outcome }) => outcome)).toEqual(['cleared', 'cleared']);
    expect(retouched(made(two)).findings.map(({ outcome }) => outcome)).toEqual([
      'still there',
      'still there',
    ]);
  });

  it('that was cut or cannot be measured is said', () => {
    expect(retouched(made({ file: { width: 1000, height: 1000 } })).remark).toMatch(/cut to another shape/);
    const gone = retouched({ reason: 'The file is cut off.' });
    expect(gone.remark).toMatch(/could not be measured/);
    expect(gone.findings.map(({ outcome }) => outcome)).toEqual(['still there', 'still there', 'new']);
  });
});
