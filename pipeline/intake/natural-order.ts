/** `frame-9` before `frame-10`, the same on every machine: no locale takes part. */

const digitRun = /(\d+)/;

/** Compares file paths: folder by folder, runs of ASCII digits by value, letters without regard to case; equal only where identical. */
export function naturalOrder(a: string, b: string): number {
  const left = keyOf(a);
  const right = keyOf(b);
  for (let i = 0; i < Math.min(left.length, right.length); i++) {
    const difference = compareFolders(left[i]!, right[i]!);
    if (difference !== 0) return difference;
  }
  return left.length - right.length || compareCodes(a, b);
}

/** Alternating text and digits of every folder of the path; text stands at even places. */
function keyOf(path: string): readonly (readonly string[])[] {
  return path
    .normalize('NFC')
    .toLowerCase()
    .split('/')
    .map((name) => name.split(digitRun));
}

function compareFolders(a: readonly string[], b: readonly string[]): number {
  for (let i = 0; i < Math.min(a.length, b.length); i++) {
    const difference = i % 2 === 1 ? compareDigits(a[i]!, b[i]!) : compareCodes(a[i]!, b[i]!);
    if (difference !== 0) return difference;
  }
  return a.length - b.length;
}

/** By value, however long the run: camera counters and bar codes are longer than a number holds. */
function compareDigits(a: string, b: string): number {
  const [left, right] = [a.replace(/^0+(?=\d)/, ''), b.replace(/^0+(?=\d)/, '')];
  return left.length - right.length || compareCodes(left, right);
}

/** UTF-16 order: what `<` does, spelt out so that no locale can come in. */
function compareCodes(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
