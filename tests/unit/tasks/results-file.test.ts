import { describe, expect, it } from 'vitest';
import { resultsSchema } from '../../../pipeline/contracts/results.ts';
import { orderedResults, resultsFile } from '../../../pipeline/tasks/results-file.ts';
import { demoResults } from '../../helpers/demo-results.ts';

const written = (): string => Buffer.concat(resultsFile(orderedResults(demoResults))).toString();

describe('results.json', () => {
  it('is what the schema makes of the results, key for key', () => {
    expect(JSON.stringify(JSON.parse(written()))).toBe(JSON.stringify(resultsSchema.parse(demoResults)));
  });

  it('has one garment or frame a line', () => {
    const lines = written().split('\n');
    const ids = [...demoResults.garments, ...demoResults.frames].map(
      ({ id }) => `{"id":${JSON.stringify(id)},`,
    );
    for (const id of ids) expect(lines.filter((line) => line.startsWith(id))).toHaveLength(1);
  });

  it('is JSON for a day without garments as well', () => {
    const empty = { ...demoResults, garments: [], frames: [] };
    expect(JSON.parse(Buffer.concat(resultsFile(empty)).toString())).toEqual(empty);
  });

  it('refuses a finding that breaks the contract', () => {
    const [first, ...rest] = demoResults.frames;
    const broken = { ...first!, verdict: 'fine' as 'pass' };
    expect(() => orderedResults({ ...demoResults, frames: [broken, ...rest] })).toThrow(/verdict/);
  });
});
