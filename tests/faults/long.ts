/**
 * Every scenario of the queue with many seeds: `npm run test:faults-long -- [seeds] [words of scenarios]`.
 * Prints one line a run and a table at the end; ends with status 1 where one failed.
 */
import { play, type ScenarioName, scenarios } from '../helpers/queue-scenarios.ts';

const seeds = Number(process.argv[2] ?? 20);
const words = process.argv.slice(3);
const names = (Object.keys(scenarios) as ScenarioName[]).filter(
  (name) => words.length === 0 || words.some((word) => name.includes(word)),
);

let failures = 0;
const table: string[] = [];
for (const name of names) {
  let passed = 0;
  let most = 0;
  for (let seed = 1; seed <= seeds; seed += 1) {
    const beganMs = performance.now();
    const verdict = await play(name, seed);
    const ok = verdict.wrong === null && verdict.same && verdict.mostTries <= verdict.allowedTries;
    if (ok) passed += 1;
    most = Math.max(most, verdict.mostTries);
    const seconds = ((performance.now() - beganMs) / 1000).toFixed(1);
    console.log(
      `${ok ? 'ok  ' : 'FAIL'} ${name}, seed ${seed}, ${seconds} s${ok ? '' : ` ${JSON.stringify(verdict)}`}`,
    );
  }
  failures += seeds - passed;
  table.push(`${name}: ${passed} of ${seeds}, most tries of a frame ${most}`);
}
console.log(`\n${table.join('\n')}\n${seeds * names.length - failures} passed, ${failures} failed`);
process.exitCode = failures > 0 ? 1 : 0;
