import type { Check, Limit } from '../contracts/check.ts';

/** A profile as it stands in a file, after validation. */
interface ListSetting {
  readonly value: readonly string[];
  readonly unit: string;
  readonly source: string;
}

type Levels = Readonly<Record<string, Limit>>;

export interface ProfileDocument {
  readonly name: string;
  readonly delivery: {
    readonly longEdge: Limit & { readonly value: number };
    readonly formats: ListSetting;
    readonly colourSpaces: ListSetting;
    readonly required: ListSetting;
  };
  readonly checks: Readonly<
    Record<string, { readonly off?: boolean } & Readonly<Record<string, Levels | boolean>>>
  >;
}

/** Any part of a profile; a limit without a source gets the overriding profile's name. */
export type PartialProfile = {
  readonly [key: string]: unknown;
};

type Json = Readonly<Record<string, unknown>>;

const isObject = (value: unknown): value is Json =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** A limit or a list is replaced whole: a value never keeps another value's source. */
const isSetting = (value: Json): boolean => 'value' in value && 'unit' in value;

function over(base: unknown, layer: unknown, name: string): unknown {
  if (layer === undefined) return base;
  if (!isObject(layer)) return layer;
  if (isSetting(layer)) return { source: `profile ${name}`, ...layer };
  const below = isObject(base) ? base : {};
  return {
    ...below,
    ...Object.fromEntries(Object.entries(layer).map(([key, value]) => [key, over(below[key], value, name)])),
  };
}

/**
 * One profile laid over another.
 *
 * Laying nothing over a profile changes nothing but its name; laying the same layer over twice is laying it over once; what the
 * layer does not name stays.
 * @param base a complete, valid profile.
 * @param layer a valid part of one.
 */
export function layOver(base: ProfileDocument, layer: PartialProfile, name: string): ProfileDocument {
  return { ...(over(base, layer, name) as ProfileDocument), name };
}

/** Limits of one quantity that contradict each other: a graver level reached before a milder one. */
export function contradictions(document: ProfileDocument, checks: readonly Check[]): readonly string[] {
  return checks.flatMap(({ meta }) =>
    Object.entries(meta.quantities).flatMap(([name, quantity]) => {
      if (quantity.bad === 'outside') return [];
      const limits = document.checks[meta.id]?.[name];
      if (limits === undefined || typeof limits === 'boolean') return [];
      const used = quantity.levels.flatMap((level) => {
        const limit = limits[level];
        return limit === undefined || limit.value === null
          ? []
          : [{ level, value: limit.value, source: limit.source }];
      });
      return used.flatMap((graver, index) => {
        const milder = used[index - 1];
        if (milder === undefined) return [];
        const wrong = quantity.bad === 'above' ? graver.value < milder.value : graver.value > milder.value;
        if (!wrong) return [];
        return [
          `checks.${meta.id}.${name}: "${graver.level}" (${graver.value} ${quantity.unit}, ${graver.source}) would be reached before "${milder.level}" (${milder.value} ${quantity.unit}, ${milder.source}). Set both, or set one to null.`,
        ];
      });
    }),
  );
}
