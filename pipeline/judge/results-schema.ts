import { z } from 'zod';
import { resultsSchema } from '../contracts/results.ts';

/** The JSON Schema (draft 2020-12) of `results.json`, published beside it so that a script can validate what it reads. */
export function resultsJsonSchema(): Readonly<Record<string, unknown>> {
  return {
    $id: 'nightrail/results@1',
    title: 'Nightrail: results of one run',
    ...z.toJSONSchema(resultsSchema, { target: 'draft-2020-12' }),
  };
}
