import { z } from 'zod';
import { type Check, type ListUnit, type Unit, units } from '../contracts/check.ts';
import { colourSpaces } from '../contracts/measurement/file.ts';
import { crops, views } from '../contracts/measurement/people.ts';

/** What a profile file may hold, derived from the checks: the one source of its schema, its error sentences and its suggestions. */

export type Shape =
  | { readonly kind: 'group'; readonly keys: ReadonlyMap<string, Shape> }
  | { readonly kind: 'limit'; readonly unit: Unit; readonly whole: boolean; readonly unused: boolean }
  | {
      readonly kind: 'list';
      readonly unit: ListUnit;
      readonly names: readonly string[];
      readonly fewest: 0 | 1;
    }
  | { readonly kind: 'switch' }
  | { readonly kind: 'text' };

/** The views and crops that a store, or a garment's sheet, can ask for. */
export const requirable: readonly string[] = [
  ...views.filter((view) => view !== 'unknown'),
  ...crops.filter((crop) => crop !== 'none'),
];

/** File formats as the decoder names them; a profile accepts some of them. */
const formats = ['jpeg', 'png', 'tiff', 'webp', 'avif', 'heif', 'gif'];

const group = (entries: readonly (readonly [string, Shape])[]): Shape => ({
  kind: 'group',
  keys: new Map(entries),
});

const limit = (unit: Unit): Shape => ({ kind: 'limit', unit, whole: units[unit].whole, unused: true });

const list = (unit: ListUnit, names: readonly string[], fewest: 0 | 1): Shape => ({
  kind: 'list',
  unit,
  names,
  fewest,
});

function checkShape(check: Check): Shape {
  const quantities = Object.entries(check.meta.quantities).flatMap(([name, quantity]): [string, Shape][] =>
    quantity.bad === 'outside'
      ? []
      : [[name, group(quantity.levels.map((level) => [level, limit(quantity.unit)]))]],
  );
  // A frame nobody could read is never a pass: that check has no switch.
  return group(check.level === 'file' ? quantities : [['off', { kind: 'switch' }], ...quantities]);
}

export function profileShape(checks: readonly Check[]): Shape {
  return group([
    ['name', { kind: 'text' }],
    [
      'delivery',
      group([
        ['longEdge', { kind: 'limit', unit: 'px', whole: true, unused: false }],
        ['formats', list('format', formats, 1)],
        ['colourSpaces', list('colour space', colourSpaces, 1)],
        ['required', list('view or crop', requirable, 0)],
      ]),
    ],
    ['checks', group(checks.map((check) => [check.meta.id, checkShape(check)]))],
  ]);
}

/** What belongs in a place, in words. */
export function expectation(shape: Shape): string {
  switch (shape.kind) {
    case 'group':
      return 'an object';
    case 'limit':
      return `a limit such as { "value": 1, "unit": "${shape.unit}" }`;
    case 'list':
      return `a list such as { "value": ["${shape.names[0]}"], "unit": "${shape.unit}" }`;
    case 'switch':
      return 'true or false';
    case 'text':
      return 'a text';
  }
}

const source = z.string().trim().min(1);

function limitSchema({ unit, whole, unused }: Extract<Shape, { kind: 'limit' }>, complete: boolean) {
  const { min, max } = units[unit];
  const number = (whole ? z.int() : z.number()).min(unused ? min : 1).max(max);
  return z.strictObject({
    value: unused ? number.nullable() : number,
    unit: z.literal(unit),
    source: complete ? source : source.optional(),
  });
}

function listSchema({ unit, names, fewest }: Extract<Shape, { kind: 'list' }>, complete: boolean) {
  return z.strictObject({
    value: z.array(z.enum(names as [string, ...string[]])).min(fewest),
    unit: z.literal(unit),
    source: complete ? source : source.optional(),
  });
}

/** @param complete every key must be there and every limit must bring its source (the default profile); otherwise any part may be left out. */
export function schemaOf(shape: Shape, complete: boolean): z.ZodType {
  switch (shape.kind) {
    case 'group':
      return z.strictObject(
        Object.fromEntries(
          [...shape.keys].map(([key, member]) => {
            const schema = schemaOf(member, complete);
            return [key, complete && member.kind !== 'switch' ? schema : schema.optional()];
          }),
        ),
      );
    case 'limit':
      return limitSchema(shape, complete);
    case 'list':
      return listSchema(shape, complete);
    case 'switch':
      return z.boolean();
    case 'text':
      return source;
  }
}
