/**
 * `npm run validate [-- --photos <folder> --labels <sheet> --out <folder>]`: measures every sweep and writes
 * `measurement-validation.html`. Ends with status 1 where a limit does not hold, 2 where the command is wrong.
 */
import { existsSync } from 'node:fs';
import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { Command } from '@commander-js/extra-typings';
import { validationPage } from './page.tsx';
import { missed, type Sweep, take } from './sweep.ts';
import { photographSweeps, projectSweeps } from './sweeps.ts';
import { verdict, worstError } from './words.ts';

const command = new Command('npm run validate --')
  .description('holds the measurements against what is known to be true, and draws it')
  .option('--photos <folder>', 'labelled photographs of people to measure as well')
  .option(
    '--labels <sheet>',
    'their labels: a CSV sheet with the columns file and eyes, pixel labels beside it',
  )
  .option('--out <folder>', 'where measurement-validation.html is written', '.')
  .exitOverride(({ exitCode }) => process.exit(exitCode === 0 ? 0 : 2))
  .parse();
const { photos, labels, out } = command.opts();
if ((photos === undefined) !== (labels === undefined)) command.error('Give --photos and --labels together.');
for (const path of [photos, labels]) {
  if (path !== undefined && !existsSync(path)) command.error(`There is no ${path}.`);
}
const onPhotographs = photos !== undefined && labels !== undefined ? photographSweeps(photos, labels) : [];

const sweeps: Sweep[] = [];
for (const plan of [...projectSweeps, ...onPhotographs]) {
  const sweep = await take(plan);
  if (sweep.points.length === 0) {
    console.log(`${sweep.id}: left out, none of the photographs is labelled for it`);
    continue;
  }
  sweeps.push(sweep);
  console.log(
    `${sweep.id}: ${verdict(sweep)}; worst ${worstError(sweep)}, limit ${sweep.limitText}, ${sweep.points.length} points`,
  );
  for (const words of missed(sweep).slice(0, 5)) console.log(`  ${words}`);
}

await mkdir(out, { recursive: true });
const path = join(out, 'measurement-validation.html');
await writeFile(path, validationPage(sweeps, photos ?? null));
const failing = sweeps.filter((sweep) => missed(sweep).length > 0).length;
console.log(`${sweeps.length} sweeps, ${failing} not held. Written: ${path}`);
process.exitCode = failing > 0 ? 1 : 0;
