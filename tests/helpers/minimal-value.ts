import type { z } from 'zod';

type Plain = null | boolean | number | string | readonly Plain[] | { readonly [key: string]: Plain };

/** How many members a list must have; none where any number will do. */
function exactLength({ checks = [] }: z.core.$ZodArrayDef): number {
  const lengths = checks.map(({ _zod: { def } }) => (def as Partial<z.core.$ZodCheckLengthEqualsDef>).length);
  return lengths.find((length) => length !== undefined) ?? 0;
}

/**
 * The emptiest value that a schema accepts: `null` where it may be, no more list members than a fixed length asks for, first word of a choice, 1 for a number.
 * Strings that must match a pattern are left to the caller. Fixtures made from it do not break when a contract gains a member.
 */
export function minimalValue(schema: z.core.$ZodType): Plain {
  const { def } = schema._zod as { def: z.core.$ZodTypes['_zod']['def'] };
  switch (def.type) {
    case 'nullable':
    case 'null':
      return null;
    case 'array':
      return Array.from({ length: exactLength(def) }, () => minimalValue(def.element));
    case 'record':
      return {};
    case 'boolean':
      return false;
    case 'number':
      return 1;
    case 'string':
      return '';
    case 'enum':
      return Object.values(def.entries)[0] ?? null;
    case 'literal':
      return def.values[0] as Plain;
    case 'union':
      return minimalValue(def.options[0] as z.core.$ZodType);
    case 'tuple':
      return def.items.map((item) => minimalValue(item));
    case 'readonly':
    case 'optional':
    case 'default':
      return minimalValue(def.innerType);
    case 'object':
      return Object.fromEntries(
        Object.entries(def.shape)
          .filter(([, member]) => member._zod.def.type !== 'optional')
          .map(([name, member]) => [name, minimalValue(member)]),
      );
    default:
      throw new Error(`minimalValue has no answer for a ${def.type}`);
  }
}
