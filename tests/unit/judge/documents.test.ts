import { describe, expect, it } from 'vitest';
import { checks } from '../../../pipeline/checks/index.ts';
import { resultsSchema } from '../../../pipeline/contracts/results.ts';
import { checksTable, deliveryTable } from '../../../pipeline/judge/checks-table.ts';
import { resultsJsonSchema } from '../../../pipeline/judge/results-schema.ts';
import { aProfile, defaultProfile } from '../../helpers/profile.ts';

type Json = Readonly<Record<string, unknown>>;

/** Every object schema inside a JSON Schema. */
function objects(schema: unknown): readonly Json[] {
  if (typeof schema !== 'object' || schema === null) return [];
  const own = 'properties' in schema ? [schema as Json] : [];
  return [...own, ...Object.values(schema).flatMap(objects)];
}

describe('resultsJsonSchema', () => {
  const schema = resultsJsonSchema();

  it('says which draft it is, names the results and survives JSON', () => {
    expect(schema.$schema).toBe('https://json-schema.org/draft/2020-12/schema');
    expect(JSON.parse(JSON.stringify(schema))).toEqual(schema);
    expect(Object.keys(schema.properties as Json)).toEqual(Object.keys(resultsSchema.shape));
  });

  it('closes every object, so that a key nobody published is an error', () => {
    expect(objects(schema).length).toBeGreaterThan(15);
    for (const object of objects(schema)) expect(object.additionalProperties).toBe(false);
  });
});

describe('checksTable', () => {
  const table = checksTable(defaultProfile);
  const rows = table.split('\n').map((row) => row.split(/(?<!\\)\|/).map((cell) => cell.trim()));

  it('has the same columns in every row and names every check once', () => {
    expect(new Set(rows.map((row) => row.length)).size).toBe(1);
    for (const { meta } of checks) {
      expect(rows.filter((row) => row[1] === `\`${meta.id}\``)).toHaveLength(1);
    }
  });

  it('gives the source of every limit it shows', () => {
    for (const row of rows.slice(2)) if (/\b(above|below)\b/.test(row[4] ?? '')) expect(row[6]).not.toBe('');
  });

  it('follows the profile', () => {
    const store = aProfile({
      checks: { 'wide-aperture': { fNumber: { note: { value: 2.8, unit: 'f-number' } } } },
    });
    expect(checksTable(store)).toContain('note below f/2.8');
    expect(table).not.toContain('note below f/2.8');
  });
});

describe('deliveryTable', () => {
  it('shows every setting with its source', () => {
    expect(deliveryTable(defaultProfile)).toContain('| `delivery.longEdge` | 2400 px | common practice');
  });
});
