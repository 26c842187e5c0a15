import { describe, expect, it } from 'vitest';
import { contactSheet } from '../../../pipeline/accuracy/contact-sheet.ts';
import { type MeasuredFrame, measureAccuracy, nearView } from '../../../pipeline/accuracy/figures.ts';
import { type LabelledFrame, readLabels } from '../../../pipeline/accuracy/labels.ts';
import { figuresText, missesText, proportionText } from '../../../pipeline/accuracy/text-report.ts';
import type { BackgroundPerson, Framing } from '../../../pipeline/contracts/measurement/people.ts';
import type { BoxTuple } from '../../../pipeline/numeric/boxes.ts';

const labelsHead = 'file,subjects,bg_people,crop,view,feet_visible,ambiguous,notes\n';
const boxesHead = 'file,x0,y0,x1,y1,kind\n';

describe('label sheets', () => {
  it('are read with their boxes, in order, other columns ignored', () => {
    const frames = readLabels(
      `${labelsHead}b.jpg,1,2,full,front,both,no,"a, b"\na.jpg,2,0,knee,side,one,yes,\n`,
      `${boxesHead}b.jpg,10,20,40,90,background\nb.jpg,0,0,5,5,crowd\n`,
    );
    expect(frames.map(({ file }) => file)).toEqual(['b.jpg', 'a.jpg']);
    expect(frames[0]).toMatchObject({ subjects: 1, backgroundPeople: 2, feetVisible: 2, ambiguous: false });
    expect(frames[0]?.boxes).toEqual({
      subjects: [],
      background: [[10, 20, 30, 70]],
      crowds: [[0, 0, 5, 5]],
    });
    expect(frames[1]).toMatchObject({ crop: 'knee', view: 'side', feetVisible: 1, ambiguous: true });
  });

  it('give no boxes where there is no sheet of them', () => {
    expect(readLabels(`${labelsHead}a.jpg,1,0,full,front,both,no,\n`, null)[0]?.boxes).toBeNull();
  });

  it.each([
    ['a.jpg,1,some,full,front,both,no,\n', null, /labels sheet.*row 2, column bg_people: a whole number/],
    ['a.jpg,1,0,whole,front,both,no,\n', null, /labels sheet.*row 2, column crop/],
    ['a.jpg,1,0,full,front,both,no,\na.jpg,1,0,full,front,both,no,\n', null, /a\.jpg has two rows/],
    [
      'a.jpg,1,0,full,front,both,no,\n',
      'c.jpg,1,2,3,4,subject\n',
      /boxes sheet.*c\.jpg has a box but no row/,
    ],
    ['a.jpg,1,0,full,front,both,no,\n', 'a.jpg,1,2,3,x,subject\n', /boxes sheet.*column y1: a number of px/],
    ['a.jpg,1,0\n', null, /labels sheet cannot be used/],
  ])('say what is wrong: %s %s', (labels, boxes, message) => {
    expect(() => readLabels(labelsHead + labels, boxes === null ? null : boxesHead + boxes)).toThrow(message);
  });
});

const framing: Framing = {
  crop: 'full',
  view: 'front',
  cutAt: null,
  turnDeg: 5,
  feetVisible: 2,
  headroom: 0.05,
  fill: 0.9,
  reason: {},
};

function person(box: BoxTuple, mayBe: string | null = null): BackgroundPerson {
  return {
    box: [box[0] / 100, box[1] / 200, box[2] / 100, box[3] / 200],
    score: 0.5,
    mask: null,
    maskKind: null,
    shareOfFrame: 0.1,
    blurSigmaPx: null,
    cutBy: null,
    overlapWithSubject: 0,
    distanceToSubject: 0.1,
    standingShare: null,
    mayBe,
  };
}

/** A frame of 100 x 200 px with the model in the middle. */
function measured(
  file: string,
  background: readonly BackgroundPerson[],
  change: Partial<Framing> = {},
  subject: BoxTuple = [40, 10, 20, 180],
): MeasuredFrame {
  const box = [subject[0] / 100, subject[1] / 200, subject[2] / 100, subject[3] / 200] as const;
  return {
    file,
    width: 100,
    height: 200,
    people: {
      subjects: [{ box, score: 0.7, mask: null, maskKind: null, keypoints: [], because: '' }],
      background: [...background],
      reason: {},
    },
    framing: { ...framing, ...change },
    candidates: [{ box: subject, score: 0.9 }],
  };
}

function label(file: string, background: readonly BoxTuple[], change: Partial<LabelledFrame> = {}) {
  return {
    file,
    subjects: 1,
    backgroundPeople: background.length,
    crop: 'full',
    view: 'front',
    feetVisible: 2,
    ambiguous: false,
    boxes: { subjects: [[40, 10, 20, 180]], background, crowds: [] },
    ...change,
  } as LabelledFrame;
}

const tall: BoxTuple = [0, 60, 20, 60];
const small: BoxTuple = [80, 60, 6, 15];

describe('figures', () => {
  it('count frames and people as labelled', () => {
    const labels = [label('a', [tall, small]), label('b', []), label('c', [tall]), label('d', [])];
    const frames = [
      measured('a', [person(tall), person(small, 'a statue')]),
      measured('b', [person([70, 50, 10, 40])]),
      measured('c', []),
      measured('d', []),
    ];
    const figures = measureAccuracy(labels, frames);
    expect(figures.frameRecall).toMatchObject({ successes: 1, trials: 2 });
    expect(figures.framePrecision).toMatchObject({ successes: 1, trials: 2 });
    // `small` is 7.5 % of the height: not among those that must be found.
    expect(figures.personRecall).toMatchObject({ successes: 1, trials: 2 });
    expect(figures.personRecallAnySize).toMatchObject({ successes: 1, trials: 3 });
    expect(figures.personPrecision).toMatchObject({ successes: 1, trials: 2 });
    expect(figures.misses.map(({ file, kind, box }) => [file, kind, box === null])).toEqual([
      ['b', 'false-alarm', true],
      ['c', 'missed', true],
      ['b', 'false-alarm', false],
      ['c', 'missed', false],
    ]);
  });

  it('count those that are only noted apart', () => {
    const figures = measureAccuracy([label('a', [tall])], [measured('a', [person(tall, 'a poster')])]);
    expect(figures.personRecall).toMatchObject({ successes: 0, trials: 1 });
    expect(figures.personRecallWithNotes).toMatchObject({ successes: 1, trials: 1 });
    expect(figures.frameRecall).toMatchObject({ successes: 0, trials: 1 });
  });

  it('leave ambiguous frames out of the figures by frame, and crowds out of the false alarms', () => {
    const crowd = label('a', [], {
      ambiguous: true,
      boxes: { subjects: [[40, 10, 20, 180]], background: [], crowds: [[0, 50, 40, 80]] },
    });
    const figures = measureAccuracy([crowd], [measured('a', [person(tall)])]);
    expect(figures.framePrecision).toBeNull();
    expect(figures.personPrecision).toBeNull();
    expect(figures.misses).toEqual([]);
  });

  it('want every subject, each at its place', () => {
    const off = measureAccuracy([label('a', [])], [measured('a', [], {}, [60, 10, 20, 180])]);
    expect(off.subjectRight).toMatchObject({ successes: 0, trials: 1 });
    const pair = measureAccuracy([label('a', [], { subjects: 2 })], [measured('a', [])]);
    expect(pair.subjectRight?.successes).toBe(0);
    expect(pair.misses[0]?.words).toBe('1 subjects found, 2 labelled');
  });

  it('hold crop, view and feet against the labels', () => {
    const figures = measureAccuracy(
      [label('a', [], { view: 'three-quarter' }), label('b', [], { crop: 'knee', feetVisible: null })],
      [measured('a', [], { feetVisible: 1 }), measured('b', [], { view: 'back' })],
    );
    expect(figures.cropRight?.share).toBe(0.5);
    expect(figures.viewRight?.successes).toBe(0);
    expect(figures.viewNearlyRight?.successes).toBe(1);
    expect(figures.feetRight).toMatchObject({ successes: 0, trials: 1 });
    expect(figures.crop).toEqual({ full: { full: 1 }, knee: { full: 1 } });
    expect(figures.view).toEqual({ 'three-quarter': { front: 1 }, front: { back: 1 } });
  });

  it('refuse a label without a measurement', () => {
    expect(() => measureAccuracy([label('a', [])], [])).toThrow('a measurement of a');
  });

  it('know the neighbours of a view', () => {
    expect(nearView('front', 'three-quarter')).toBe(true);
    expect(nearView('back', 'three-quarter')).toBe(true);
    expect(nearView('front', 'side')).toBe(false);
    expect(nearView('front', 'back')).toBe(false);
  });
});

describe('what is printed', () => {
  const hostile = `<b>"x"&.jpg`;
  const labels = [label(hostile, [tall])];
  const frames = [measured(hostile, [person([70, 50, 10, 40])])];
  const figures = measureAccuracy(labels, frames);

  it('states shares with their interval, and where there is no case', () => {
    // Newcombe 1998, table I: 1 of 29.
    expect(proportionText({ successes: 1, trials: 29, share: 1 / 29, low: 0.0061, high: 0.1718 })).toBe(
      '3.4 % (1 of 29; 95 % interval 0.6 to 17.2 %)',
    );
    expect(proportionText(null)).toBe('no case in the labels');
  });

  it('has every figure and every miss', () => {
    const text = figuresText('All frames', figures);
    expect(text).toContain('All frames: 1 frames, 0 of them ambiguous');
    expect(text).toMatch(/Crop \(rows: labelled, columns: measured\)\n +full\n {2}full {2,}1/);
    expect(missesText(figures).split('\n')).toHaveLength(1 + figures.misses.length);
    expect(missesText({ ...figures, misses: [] })).toBe('No miss and no false alarm.');
  });

  it('has a contact sheet without script in which names stay text and photographs stay where they are', () => {
    const page = contactSheet(
      labels,
      frames,
      figures.misses,
      (file) => `../photos/${encodeURIComponent(file)}`,
    );
    expect(page).not.toContain('<b>');
    expect(page).not.toContain('<script');
    expect(page).not.toContain('base64');
    expect(page).toContain('&lt;b&gt;&quot;x&quot;&amp;.jpg');
    expect(page).toContain('href="../photos/%3Cb%3E%22x%22%26.jpg"');
    expect(page.match(/<figure>/g)).toHaveLength(1);
    expect(contactSheet(labels, frames, [], (file) => file)).not.toContain('<figure>');
  });
});
