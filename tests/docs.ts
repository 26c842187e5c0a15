/** `npm run docs`: renews what the README says about measurements and checks from those themselves. `tests/rules/readme.test.ts` keeps it true. */
import { readFile, writeFile } from 'node:fs/promises';
import { withTables } from './helpers/readme-tables.ts';

const readme = new URL('../README.md', import.meta.url);
await writeFile(readme, await withTables(await readFile(readme, 'utf8')));
