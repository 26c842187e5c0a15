/**
 * Every scenario of the queue with many seeds: `npm run test:faults-long -- [seeds] [words of scenarios]`.
 * Prints one line a run and a table at the end; ends with status 1 where one failed.
 */
import { play, type ScenarioName, scenarios } from '../helpers/queue-scenarios.ts';

const seeds = Array.from({ length: Number(process.argv[2] ?? 20) }, (_, index) => index + 1);
const words = process.argv.slice(3);
const names = (Object.keys(scenarios) as ScenarioName[]).filter(
  (name) => words.length === 0 || words.some((word) => name.includes(word)),
);

let failures = 0;
const table: string[] = [];
for (const name of names) {
  let seed = 0;
  let passed = 0;
  let most = 0;
  let beganMs = performance.now();
  for await (const { wrong, mostTries } of play(name, seeds)) {
    seed += 1;
    if (wrong === null) passed += 1;
    most = Math.max(most, mostTries);
    const seconds = ((performance.now() - beganMs) / 1000).toFixed(1);
    console.log(`${wrong === null ? 'ok  ' : 'FAIL'} ${name}, seed ${seed}, ${seconds} s ${wrong ?? ''}`);
    beganMs = performance.now();
  }
  failures += seeds.length - passed;
  table.push(`${name}: ${passed} of ${seeds.length}, most tries of a frame ${most}`);
}
console.log(`\n${table.join('\n')}\n${seeds.length * names.length - failures} passed, ${failures} failed`);
process.exitCode = failures > 0 ? 1 : 0;
