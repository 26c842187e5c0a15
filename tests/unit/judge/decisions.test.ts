import { parse } from 'csv-parse/sync';
import { stringify } from 'csv-stringify/sync';
import { describe, expect, it } from 'vitest';
import { checks } from '../../../pipeline/checks/index.ts';
import type { Decided } from '../../../pipeline/contracts/decisions.ts';
import type { Delivery } from '../../../pipeline/contracts/delivery.ts';
import type { Decision } from '../../../pipeline/contracts/finding.ts';
import { parseDecisions } from '../../../pipeline/intake/decisions.ts';
import { countsAs, idleDecisions } from '../../../pipeline/judge/decide.ts';
import { type Judgement, judgeDelivery, type Measured } from '../../../pipeline/judge/judge-delivery.ts';
import { firstDecisionSheet } from '../../../pipeline/report/decision-sheet.ts';
import { aMeasurement, blur, person, type Sections } from '../../helpers/measurement.ts';
import { aProfile } from '../../helpers/profile.ts';

/** What people decide, from the sheet to the verdict. Expected verdicts follow from the words of the rule. */

/** Sets of one or two frames, whose number is not the point here. */
const profile = aProfile({ checks: { 'set-size': { off: true } } });
const checkIds = checks.map(({ meta }) => meta.id);
const soft: Sections = { sharpness: { eyes: blur(9), face: blur(9), garment: blur(9) } };
const passer: Sections = { people: { background: [person(), person({ box: [0.8, 0.3, 0.05, 0.2] })] } };
const hostile = `=HYPERLINK("x"); "coat", é`;

interface Day {
  readonly delivery: Delivery;
  readonly measured: ReadonlyMap<string, Measured>;
}

function day(frames: readonly (Sections | string)[], garment = 'coat', required = ['front']): Day {
  const ids = frames.map((_, index) => `${garment}/${index + 1}.jpg`);
  const hash = (index: number): string =>
    (0x0123456789abcdefn * BigInt(7 * index + 1)).toString(16).slice(-16);
  return {
    delivery: {
      root: '/d',
      garments: [{ id: garment, frames: ids, required, columns: {} }],
      frames: ids.map((id) => ({ id, garment, path: `/d/${id}` })),
      remarks: [],
    },
    measured: new Map(
      frames.map((over, index) => [
        ids[index]!,
        typeof over === 'string'
          ? { reason: over }
          : {
              measurement: aMeasurement({
                framing: { view: 'front', crop: 'full' },
                likeness: { dhash64: hash(index).padStart(16, '0') },
                ...over,
              }),
            },
      ]),
    ),
  };
}

const judge = ({ delivery, measured }: Day, decided: readonly Decided[] = []): Judgement =>
  judgeDelivery(delivery, measured, profile, decided);

const decide = (
  decided: Decision['decided'],
  kind: 'frame' | 'garment',
  id: string,
  check: string,
  row = 2,
): Decided => ({ row, target: { kind, id }, check, decision: { decided, who: 'Ana', why: 'agreed' } });

describe('a decision', () => {
  const decision = (decided: Decision['decided']): Decision => ({ decided, who: 'Ana', why: 'x' });

  it.each([
    ['reject', 'reject', 'note', 'reject'],
    ['cleanup', 'cleanup', 'note', 'cleanup'],
    ['unmeasured', 'unmeasured', 'note', 'cleanup'],
    ['note', 'note', 'note', 'cleanup'],
  ] as const)('makes %s count as %s undecided, %s accepted, %s insisted', (severity, none, yes, no) => {
    expect(countsAs({ severity })).toBe(none);
    expect(countsAs({ severity, decision: decision('accept') })).toBe(yes);
    expect(countsAs({ severity, decision: decision('insist') })).toBe(no);
  });

  it('accepting both people behind a model lets frame and garment pass, and the findings keep their severity', () => {
    const of = day([passer]);
    expect(judge(of).garments[0]?.verdict).toBe('cleanup');
    const { frames, garments } = judge(of, [decide('accept', 'frame', 'coat/1.jpg', 'background-person')]);
    expect(frames[0]?.verdict).toBe('pass');
    expect(garments[0]?.verdict).toBe('pass');
    const found = frames[0]?.findings.filter(({ check }) => check === 'background-person');
    expect(found?.length).toBe(2);
    for (const one of found ?? [])
      expect(one).toMatchObject({ severity: 'cleanup', decision: { decided: 'accept', who: 'Ana' } });
  });

  it('on a garment covers each of its frames, unless a frame has a row of its own', () => {
    const of = day([soft, soft]);
    const all = ['soft-eyes', 'soft-face', 'soft-garment'].map((check) =>
      decide('accept', 'garment', 'coat', check),
    );
    expect(judge(of, all).frames.map(({ verdict }) => verdict)).toEqual(['pass', 'pass']);
    const one = [...all, decide('insist', 'frame', 'coat/2.jpg', 'soft-eyes', 9)];
    expect(judge(of, one).frames.map(({ verdict }) => verdict)).toEqual(['pass', 'reject']);
  });

  it('brings a rejected frame back, so that its view is covered again', () => {
    const of = day([soft]);
    expect(judge(of).garments[0]?.coverage.missing).toEqual(['front']);
    const all = ['soft-eyes', 'soft-face', 'soft-garment'].map((check) =>
      decide('accept', 'frame', 'coat/1.jpg', check),
    );
    expect(judge(of, all).garments[0]).toMatchObject({ verdict: 'pass', coverage: { missing: [] } });
  });

  it('accepting a missing view lets the garment pass without it', () => {
    const of = day([{}], 'coat', ['front', 'back']);
    expect(judge(of).garments[0]?.verdict).toBe('reshoot');
    expect(judge(of, [decide('accept', 'garment', 'coat', 'missing-view')]).garments[0]?.verdict).toBe(
      'pass',
    );
  });

  it('insisting on a note asks for work', () => {
    const of = day([{ capture: { fNumber: 1.2 } }]);
    const noted = judge(of).frames[0]?.findings.find(({ check }) => check === 'wide-aperture');
    expect(noted?.severity).toBe('note');
    const { frames } = judge(of, [decide('insist', 'frame', 'coat/1.jpg', 'wide-aperture')]);
    expect(frames[0]?.verdict).toBe('cleanup');
  });

  it('accepting an unreadable file leaves it out: it is still unreadable, and the garment goes on without', () => {
    const of = day([{}, 'It is cut off.']);
    expect(judge(of).garments[0]?.verdict).toBe('cleanup');
    const after = judge(of, [decide('accept', 'frame', 'coat/2.jpg', 'unreadable-file')]);
    expect(after.frames[1]?.verdict).toBe('unreadable');
    expect(after.garments[0]?.verdict).toBe('pass');
  });

  it('is found whatever form a spreadsheet program gave to its accents', () => {
    const id = 'manteau d’été'.normalize('NFC');
    const { frames } = judge(day([{ capture: { fNumber: 1.2 } }], id), [
      decide('insist', 'garment', id.normalize('NFD'), 'wide-aperture'),
    ]);
    expect(frames[0]?.verdict).toBe('cleanup');
  });

  it('that decides about nothing is named', () => {
    const of = day([{}]);
    const rows = [
      decide('accept', 'frame', 'coat/9.jpg', 'soft-eyes', 4),
      decide('accept', 'frame', 'coat/1.jpg', 'soft-eyes', 5),
    ];
    expect(idleDecisions(rows, judge(of, rows))).toEqual([
      'Row 4 of the decisions: the frame "coat/9.jpg" is not in this delivery.',
      'Row 5 of the decisions has no effect: "coat/1.jpg" has no finding of soft-eyes.',
    ]);
  });
});

describe('the first decisions sheet', () => {
  it('has a row for each open finding, and filled in it empties the list of what is open', () => {
    const of = day([passer, soft, 'It is cut off.'], hostile, ['front', 'back']);
    const first = judge(of);
    const sheet = firstDecisionSheet(first);
    const rows = parse(sheet, { bom: true, columns: true }) as Record<string, string>[];
    expect(rows.length).toBeGreaterThan(4);
    expect(new Set(rows.map(({ decision, who, why }) => `${decision}${who}${why}`))).toEqual(new Set(['']));
    expect(parseDecisions(sheet, 'd.csv', checkIds)).toEqual([]);

    // Filled in as a spreadsheet program would: all accepted, saved without the mark.
    const filled = stringify(
      rows.map((row) => ({ ...row, decision: 'Accept', who: 'Ana', why: 'the store agreed' })),
      { header: true },
    );
    const decided = parseDecisions(filled, 'd.csv', checkIds);
    expect(decided.length).toBe(rows.length);
    const after = judge(of, decided);
    expect(after.garments.map(({ verdict }) => verdict)).toEqual(['pass']);
    expect(parse(firstDecisionSheet(after), { bom: true, columns: true })).toEqual([]);
    expect(idleDecisions(decided, after)).toEqual([]);
  });

  it('is read the same where the program dropped the apostrophe before a name', () => {
    const of = day([passer], hostile);
    const sheet = firstDecisionSheet(judge(of)).replaceAll(',"","",""\r\n', ',accept,Ana,fine\r\n');
    expect(sheet).toContain(`"'=HYPERLINK`);
    const bare = sheet.replaceAll(`"'=`, '"=');
    expect(parseDecisions(bare, 'd.csv', checkIds)).toEqual(parseDecisions(sheet, 'd.csv', checkIds));
    expect(parseDecisions(bare, 'd.csv', checkIds)[0]?.target).toEqual({
      kind: 'frame',
      id: `${hostile}/1.jpg`,
    });
  });
});

describe('a decisions sheet that is wrong', () => {
  const head = 'garment,frame,check,finding,decision,who,why\n';

  it.each([
    ['a word that is none', `${head}coat,,soft-eyes,,maybe,Ana,x`, /row 2: "maybe" in "decision"/],
    ['no name', `${head}coat,,soft-eyes,,accept,,x`, /row 2: "who" is empty/],
    ['no reason', `${head}coat,,soft-eyes,,insist,Ana,`, /row 2: "why" is empty/],
    ['no check', `${head}coat,,,,accept,Ana,x`, /row 2: "check" is empty/],
    ['a check there is not', `${head}coat,,soft-nose,,accept,Ana,x`, /row 2: there is no check "soft-nose"/],
    ['no target', `${head},,soft-eyes,,accept,Ana,x`, /row 2: neither "frame" nor "garment"/],
    [
      'the same twice',
      `${head}coat,,soft-eyes,,accept,Ana,x\n\ncoat,,soft-eyes,,insist,Bo,y`,
      /row 4: row 2 decides/,
    ],
    ['a column missing', 'garment,frame,check,decision,who\n', /row 1: a column "why" is missing/],
    ['a column twice', 'garment,frame,check,decision,who,why,why\n', /two columns called "why"/],
    ['an open quote', `${head}"coat,,soft-eyes,,accept,Ana,x`, /never closes/],
  ])('%s: names the row and what to do', (_, text, sentence) => {
    expect(() => parseDecisions(text, 'd.csv', checkIds)).toThrow(sentence);
    expect(() => parseDecisions(text, 'd.csv', checkIds)).toThrow(
      expect.objectContaining({ kind: 'usage' }) as Error,
    );
  });

  it('reads semicolons, blank rows, backslashes and any order of columns', () => {
    const text =
      'why;who;decision;check;frame;garment\r\n;;;;;\r\nfine;Ana;ACCEPT;Soft-Eyes;coat\\1.jpg;\r\n';
    expect(parseDecisions(text, 'd.csv', checkIds)).toEqual([
      {
        row: 3,
        target: { kind: 'frame', id: 'coat/1.jpg' },
        check: 'soft-eyes',
        decision: { decided: 'accept', who: 'Ana', why: 'fine' },
      },
    ]);
  });
});
