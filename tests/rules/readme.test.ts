import { readFile } from 'node:fs/promises';
import { expect, it } from 'vitest';
import { withTables } from '../helpers/readme-tables.ts';

it('README.md says what the checks do now (`npm run docs` renews it)', async () => {
  const readme = await readFile(new URL('../../README.md', import.meta.url), 'utf8');
  expect(readme).toBe(await withTables(readme));
});
