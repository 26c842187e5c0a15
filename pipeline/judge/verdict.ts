import type { Finding, FrameVerdict, GarmentVerdict } from '../contracts/finding.ts';
import { countsAs } from './decide.ts';

/** The tables that turn findings into verdicts: the first row that applies decides. Nothing else in the product gives a verdict. */

interface Row<Facts, Verdict> {
  readonly when: (facts: Facts) => boolean;
  readonly verdict: Verdict;
  readonly because: string;
}

interface FrameFacts {
  readonly readable: boolean;
  readonly findings: readonly Pick<Finding, 'severity' | 'decision'>[];
}

interface GarmentFacts {
  /** The garment's own, set-level findings. */
  readonly findings: readonly Pick<Finding, 'severity' | 'decision'>[];
  readonly frames: readonly FrameVerdict[];
}

const has = (
  facts: { readonly findings: readonly Pick<Finding, 'severity' | 'decision'>[] },
  ...of: Finding['severity'][]
) => facts.findings.some((finding) => of.includes(countsAs(finding)));

export const frameTable: readonly Row<FrameFacts, FrameVerdict>[] = [
  {
    when: ({ readable }) => !readable,
    verdict: 'unreadable',
    because:
      'A frame nobody could measure is never a pass, and not a reject either: the file may only need copying again.',
  },
  {
    when: (frame) => has(frame, 'reject'),
    verdict: 'reject',
    because: 'One fault that nobody can mend is enough to leave the frame out.',
  },
  {
    when: (frame) => has(frame, 'cleanup', 'unmeasured'),
    verdict: 'cleanup',
    because: 'A person has to mend something, or to look at what could not be measured, before delivery.',
  },
  { when: () => true, verdict: 'pass', because: 'Notes are advice and change no verdict.' },
];

export const garmentTable: readonly Row<GarmentFacts, GarmentVerdict>[] = [
  {
    when: (garment) => has(garment, 'reject'),
    verdict: 'reshoot',
    because:
      'The set as a whole lacks what the store requires (a view or crop no usable frame can supply), or breaks a limit that no retoucher mends.',
  },
  {
    when: ({ frames }) => !frames.some((verdict) => verdict === 'pass' || verdict === 'cleanup'),
    verdict: 'reshoot',
    because: 'No frame of the garment can be delivered.',
  },
  {
    when: (garment) => has(garment, 'cleanup', 'unmeasured'),
    verdict: 'cleanup',
    because: 'The set needs work or a look before it goes out.',
  },
  {
    when: ({ frames }) => frames.includes('cleanup') || frames.includes('unreadable'),
    verdict: 'cleanup',
    because: 'A frame needs work, or its file needs copying again.',
  },
  {
    when: () => true,
    verdict: 'pass',
    because:
      'Rejected frames are left out, and a note says so: they cost a reshoot only where what they showed is missing now.',
  },
];

function firstOf<Facts, Verdict>(table: readonly Row<Facts, Verdict>[], facts: Facts): Verdict {
  const row = table.find(({ when }) => when(facts));
  if (row === undefined) throw new RangeError('The last row of a verdict table must apply to everything.');
  return row.verdict;
}

export const frameVerdict = (facts: FrameFacts): FrameVerdict => firstOf(frameTable, facts);
export const garmentVerdict = (facts: GarmentFacts): GarmentVerdict => firstOf(garmentTable, facts);
