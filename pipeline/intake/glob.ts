/**
 * File patterns of the garment sheet: `*`, `?`, `[abc]`, `[!a-z]` within a name, `**` for any folders, `{a,b}` and
 * `{0012..0020}` for alternatives. Upper and lower case are one. A pattern without `/` is about the file's name in
 * whatever folder. Time is at most pattern length times name length, whatever the pattern: a general library took
 * minutes over a pattern of a dozen stars.
 */

/** Alternatives one pattern may open into. */
const mostAlternatives = 2000;

export type Pattern = readonly (readonly string[])[];

/** @returns `null` where the braces open into more than 2000 alternatives. */
export function parsePattern(glob: string): Pattern | null {
  const alternatives = expand(fold(glob));
  return alternatives === null ? null : alternatives.map((alternative) => alternative.split('/'));
}

/** The pattern that means its own characters and nothing else. */
export function literalPattern(text: string): Pattern {
  return [fold(text).replace(/[*?[]/g, '[$&]').split('/')];
}

/** @param path inside the delivery with `/` between folders. */
export function matches(pattern: Pattern, path: string): boolean {
  const folders = fold(path).split('/');
  return pattern.some((segments) =>
    segments.length === 1 && segments[0] !== '**'
      ? matchesName(segments[0]!, folders.at(-1)!)
      : wildcard(segments, folders, (segment) => segment === '**', matchesName),
  );
}

function fold(text: string): string {
  return text.normalize('NFC').toLowerCase();
}

function expand(glob: string): readonly string[] | null {
  // Braces without a comma or a range are ordinary characters.
  const brace = /\{(\d+\.\.\d+|[^{}]*,[^{}]*)\}/.exec(glob);
  if (brace === null) return [glob];
  const inner = brace[1]!;
  const choices = rangeOf(inner) ?? inner.split(',');
  const results: string[] = [];
  for (const choice of choices) {
    const opened = expand(glob.slice(0, brace.index) + choice + glob.slice(brace.index + brace[0].length));
    if (opened === null || results.length + opened.length > mostAlternatives) return null;
    for (const alternative of opened) results.push(alternative);
  }
  return results;
}

/** `0012..0020`, with as many digits as the first has. */
function rangeOf(text: string): readonly string[] | null {
  const ends = /^(\d{1,9})\.\.(\d{1,9})$/.exec(text);
  if (ends === null) return null;
  const [first, last] = [Number(ends[1]), Number(ends[2])];
  const length = Math.min(Math.max(last - first + 1, 0), mostAlternatives + 1);
  return Array.from({ length }, (_, i) => String(first + i).padStart(ends[1]!.length, '0'));
}

function matchesName(pattern: string, name: string): boolean {
  return wildcard(tokens(pattern), [...name], (token) => token === '*', matchesCharacter);
}

/** Single characters, and whole `[...]` classes. */
function tokens(pattern: string): readonly string[] {
  return pattern.match(/\[[!^]?\]?[^\]]*\]|./gsu) ?? [];
}

function matchesCharacter(token: string, character: string): boolean {
  if (token === '?') return true;
  if (!token.startsWith('[') || token.length === 1) return token === character;
  const not = token[1] === '!' || token[1] === '^';
  const members = [...token.slice(not ? 2 : 1, -1)];
  let found = false;
  for (let i = 0; i < members.length; i++) {
    if (members[i + 1] === '-' && i + 2 < members.length) {
      found ||= members[i]! <= character && character <= members[i + 2]!;
      i += 2;
    } else {
      found ||= members[i] === character;
    }
  }
  return found !== not;
}

/** Matching with a token that stands for any number of items; on a mismatch only the last such token takes one more. */
function wildcard(
  pattern: readonly string[],
  items: readonly string[],
  isMany: (token: string) => boolean,
  matchesOne: (token: string, item: string) => boolean,
): boolean {
  let at = 0;
  let many = -1;
  let taken = 0;
  for (let i = 0; i < items.length; ) {
    const token = pattern[at];
    if (token !== undefined && isMany(token)) {
      many = at++;
      taken = i;
    } else if (token !== undefined && matchesOne(token, items[i]!)) {
      at++;
      i++;
    } else if (many !== -1) {
      at = many + 1;
      i = ++taken;
    } else {
      return false;
    }
  }
  while (at < pattern.length && isMany(pattern[at]!)) at++;
  return at === pattern.length;
}
