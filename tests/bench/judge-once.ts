/** Judges a measured day once, in a process of its own: nothing is known and no code is warm. Prints what it took, as JSON. */
import { writeFileAtomic } from '../../pipeline/store/atomic-write.ts';
import { judgeStored } from '../../pipeline/tasks/judge-stored.ts';
import { orderedResults, resultsFile } from '../../pipeline/tasks/results-file.ts';
import { dayOf } from './measured-day.ts';

export interface JudgedOnce {
  readonly wallMs: number;
  readonly cpuMs: number;
  /** Of the wall time: until the results were there, to be written. */
  readonly judgedMs: number;
  readonly peakMib: number;
}

const [folder = '', frames = '', profile] = process.argv.slice(2);
const facts = await dayOf(Number(frames), folder, profile ?? null);
const beganMs = performance.now();
const cpu = process.cpuUsage();
const { judged } = await judgeStored(facts);
const judgedMs = performance.now() - beganMs;
await writeFileAtomic(`${folder}/results.json`, resultsFile(orderedResults(judged)));
const { user, system } = process.cpuUsage(cpu);
const took: JudgedOnce = {
  wallMs: performance.now() - beganMs,
  cpuMs: (user + system) / 1000,
  judgedMs,
  peakMib: process.resourceUsage().maxRSS / 1024,
};
console.log(JSON.stringify(took));
