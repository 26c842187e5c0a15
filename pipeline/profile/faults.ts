import type { z } from 'zod';
import { units } from '../contracts/check.ts';
import { nearest } from './nearest.ts';
import { expectation, type Shape } from './shape.ts';

/** Turns what zod found into sentences for the person who wrote the profile: where, what was expected, what stood there. */

type Path = readonly PropertyKey[];

/** A sentence names no more keys than this. */
const mostNamed = 12;

const dotted = (path: Path): string => path.map(String).join('.');

/** A value as it would stand in the file, cut short. */
function received(value: unknown): string {
  const text = JSON.stringify(value) ?? 'nothing';
  return text.length > 60 ? `${text.slice(0, 57)}...` : text;
}

function valueAt(root: unknown, path: Path): unknown {
  return path.reduce<unknown>(
    (value, key) => (typeof value === 'object' && value !== null ? Reflect.get(value, key) : undefined),
    root,
  );
}

/** The shape a path leads into, and what of the path lies inside a limit or a list. */
function shapeAt(root: Shape, path: Path): { readonly shape: Shape; readonly inside: Path } {
  let shape = root;
  for (const [index, key] of path.entries()) {
    if (shape.kind !== 'group') return { shape, inside: path.slice(index) };
    const member = shape.keys.get(String(key));
    if (member === undefined) return { shape, inside: path.slice(index) };
    shape = member;
  }
  return { shape, inside: [] };
}

function keysOf(shape: Shape): readonly string[] {
  if (shape.kind === 'group') return [...shape.keys.keys()];
  return shape.kind === 'limit' || shape.kind === 'list' ? ['value', 'unit', 'source'] : [];
}

/** Every place in a profile, for a key that stands in the wrong one. */
function places(shape: Shape, path: readonly string[] = []): readonly (readonly string[])[] {
  if (shape.kind !== 'group') return [path];
  const below = [...shape.keys].flatMap(([key, member]) => places(member, [...path, key]));
  return path.length === 0 ? below : [path, ...below];
}

/** The place nearest to the top, or `null` where there is none or several are equally near. */
function outermost(found: readonly Path[]): Path | null {
  const depth = Math.min(...found.map((place) => place.length));
  const top = found.filter((place) => place.length === depth);
  return top.length === 1 ? (top[0] ?? null) : null;
}

function unknownKey(root: Shape, path: Path, key: string): string {
  const where = `${dotted([...path, key])}: there is no such key`;
  const known = keysOf(shapeAt(root, path).shape);
  const near = nearest(key, known);
  if (near !== null) return `${where}. Did you mean "${near}"?`;
  const elsewhere = outermost(places(root).filter((place) => place.at(-1) === key));
  if (elsewhere !== null) return `${where}. Did you mean "${dotted(elsewhere)}"?`;
  if (known.length === 0) return `${where}: this check has nothing to set.`;
  const more = known.length > mostNamed ? `, and ${known.length - mostNamed} more` : '';
  return `${where}. Expected one of ${known.slice(0, mostNamed).join(', ')}${more}.`;
}

function wrongValue(shape: Shape, inside: Path, value: unknown): string {
  if (inside.length === 0) return expectation(shape);
  const [member, item] = inside;
  if (member === 'unit' && (shape.kind === 'limit' || shape.kind === 'list'))
    return `the unit "${shape.unit}"`;
  if (member === 'source') return 'a text that names the source of the limit';
  if (shape.kind === 'limit') {
    if (!shape.unused) return 'a whole number of px, 1 or more';
    return `${units[shape.unit].means}${typeof value === 'number' ? '' : ', or null for a limit that is not used'}`;
  }
  if (shape.kind === 'list') {
    if (item === undefined) return `a list of ${shape.unit}s: ${shape.names.join(', ')}`;
    const near = typeof value === 'string' ? nearest(value, shape.names) : null;
    return near === null ? `one of ${shape.names.join(', ')}` : `a ${shape.unit}; did you mean "${near}"?`;
  }
  return expectation(shape);
}

function sentences(root: Shape, document: unknown, issue: z.core.$ZodIssue): readonly string[] {
  if (issue.code === 'unrecognized_keys') return issue.keys.map((key) => unknownKey(root, issue.path, key));
  const value = valueAt(document, issue.path);
  const { shape, inside } = shapeAt(root, issue.path);
  const place = issue.path.length === 0 ? 'the profile' : dotted(issue.path);
  const expected = wrongValue(shape, inside, value);
  if (value === undefined) return [`${place} is missing: expected ${expected}.`];
  return [
    `${place}: expected ${expected.replace(/\?$/, '')}${expected.endsWith('?') ? '? Received' : ', received'} ${received(value)}.`,
  ];
}

/** One sentence for each fault, in the order of the file. */
export function faults(root: Shape, document: unknown, error: z.core.$ZodError): readonly string[] {
  return [...new Set(error.issues.flatMap((issue) => sentences(root, document, issue)))];
}
