import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { besideDelivery, readDecisions } from '../../../pipeline/intake/decisions.ts';
import { writeFirstSheet } from '../../../pipeline/tasks/first-decision-sheet.ts';
import { demoResults } from '../../helpers/demo-results.ts';
import { scratchFolder } from '../../helpers/scratch.ts';

describe('the decisions sheet on disk', () => {
  it('lies beside the delivery, under its name', () => {
    expect(besideDelivery('/shoots/may-14/')).toBe('/shoots/may-14-decisions.csv');
    expect(besideDelivery('/')).toBe('/delivery-decisions.csv');
  });

  it('is written once and never over what somebody wrote', async () => {
    const path = join(scratchFolder(), 'd.csv');
    expect(await readDecisions(path, [])).toEqual({ path, found: false, rows: [] });
    expect(await writeFirstSheet(path, demoResults)).toEqual([]);
    expect(readFileSync(path, 'utf8')).toContain('background-person');
    writeFileSync(path, 'mine');
    expect(await writeFirstSheet(path, demoResults)).toEqual([]);
    expect(readFileSync(path, 'utf8')).toBe('mine');
  });

  it('costs nobody the run where it cannot be written, and leaves nothing behind', async () => {
    const folder = scratchFolder();
    const [remark] = await writeFirstSheet(join(folder, 'gone', 'd.csv'), demoResults);
    expect(remark).toMatch(/could not be put into .*gone: it is not there\. Name a file/);
    expect(existsSync(join(folder, 'gone'))).toBe(false);
    expect(readdirSync(folder)).toEqual([]);
  });
});
