import { sameBox } from '../contracts/box.ts';
import { efforts, type Finding } from '../contracts/finding.ts';
import type { BackgroundPerson } from '../contracts/measurement/people.ts';
import type { FrameResult, Results } from '../contracts/results.ts';
import { frameStems } from './frame-stems.ts';
import { byPriority, priorityText } from './priority.ts';
import { asksForWork } from './words.ts';

/** What a retoucher has to do: one job for each thing to mend. */

export interface MaskFile {
  /** Relative to the output folder, `/` between folders. */
  readonly path: string;
  /** Name of the smaller mask it is made from, in the measurement store. */
  readonly madeFrom: string;
  readonly kind: NonNullable<BackgroundPerson['maskKind']>;
}

export interface Job {
  readonly frame: FrameResult;
  readonly finding: Finding;
  readonly priority: string;
  /** `null` where there is no person to paint out. */
  readonly mask: MaskFile | null;
}

export const area = (finding: Finding): number =>
  finding.region ? finding.region[2] * finding.region[3] : 0;
const work = ({ effort }: Finding): number => (effort === undefined ? -1 : efforts.indexOf(effort));

/** The mask of the person a finding is about, numbered as the people of the frame are. */
function maskOf({ measurement }: FrameResult, { region }: Finding, stem: string): MaskFile | null {
  const people = measurement?.people.background ?? [];
  const index = people.findIndex(({ box }) => region !== undefined && sameBox(box, region));
  const { mask = null, maskKind = null } = people[index] ?? {};
  return mask === null || maskKind === null
    ? null
    : { path: `retouch/masks/${stem}-${index + 1}.png`, madeFrom: mask, kind: maskKind };
}

/** A retoucher mends what can be mended on a frame that will be used: not one that is shot again. */
function jobsOf(frame: FrameResult, priority: string, stem: string): readonly Job[] {
  if (frame.verdict !== 'cleanup') return [];
  return frame.findings
    .filter((finding) => finding.severity !== 'unmeasured' && asksForWork(finding))
    .map((finding) => ({ frame, finding, priority, mask: maskOf(frame, finding, stem) }));
}

/** The most urgent garment first, in each the most work first. */
export function retouchJobs(results: Results): readonly Job[] {
  const stems = frameStems(results.frames);
  return byPriority(results.garments).flatMap((garment) =>
    results.frames
      .filter((frame) => frame.garment === garment.id)
      .flatMap((frame) => jobsOf(frame, priorityText(garment), stems.get(frame.id) ?? frame.id))
      .sort((a, b) => work(b.finding) - work(a.finding) || area(b.finding) - area(a.finding)),
  );
}
