import { createHash } from 'node:crypto';

/** JSON with the keys of every object in code-unit order and no white space, so that equal data gives equal text. */
export function canonicalJson(value: unknown): string {
  return JSON.stringify(value, (_, member: unknown) =>
    typeof member === 'object' && member !== null && !Array.isArray(member)
      ? Object.fromEntries(Object.entries(member).sort(([a], [b]) => (a < b ? -1 : 1)))
      : member,
  );
}

/** SHA-256 of the canonical JSON, 64 lower-case hex digits. */
export function canonicalHash(value: unknown): string {
  return createHash('sha256').update(canonicalJson(value)).digest('hex');
}
