/** Number of single-character insertions, deletions and replacements between two words (Levenshtein 1966). */
export function editDistance(a: string, b: string): number {
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++) {
      const replaced = row[j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1);
      next.push(Math.min(row[j]! + 1, next[j - 1]! + 1, replaced));
    }
    row = next;
  }
  return row[b.length]!;
}

/** The known word that was most likely meant, or `null` where none is within a third of the word's length (2 at least). */
export function nearest(word: string, known: readonly string[]): string | null {
  // Case and the separator are the usual slips: they cost nothing.
  const plain = (text: string): string => text.toLowerCase().replace(/[-_ ]/g, '');
  // A longer word than this was no slip of the keyboard, and comparing it would only take time.
  if (word.length > 100) return null;
  const reach = Math.max(2, Math.floor(word.length / 3));
  let best: string | null = null;
  let least = reach + 1;
  for (const candidate of known) {
    const distance = editDistance(plain(word), plain(candidate));
    if (distance < least && distance < Math.max(1, plain(candidate).length)) {
      best = candidate;
      least = distance;
    }
  }
  return best;
}
