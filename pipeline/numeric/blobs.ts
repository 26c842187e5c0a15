/** Connected patches of marked px, found from runs of marked px in rows; 8-connected: px that touch at a corner belong together. */

export interface Blob {
  readonly areaPx: number;
  readonly left: number;
  readonly top: number;
  /** One past the last column and row. */
  readonly right: number;
  readonly bottom: number;
}

/** Runs of marked px, in row order. Members at the same place belong to one run: columns `start` to `end` (one past) of `row`. */
export interface Runs {
  readonly count: number;
  readonly row: Int32Array;
  readonly start: Int32Array;
  readonly end: Int32Array;
}

export class RunCollector implements Runs {
  count = 0;
  row = new Int32Array(1024);
  start = new Int32Array(1024);
  end = new Int32Array(1024);

  /** Marks `length` px from `x` to the right. Px must come row after row and from left to right. */
  mark(x: number, y: number, length: number): void {
    const last = this.count - 1;
    if (last >= 0 && this.end[last] === x && this.row[last] === y) {
      this.end[last] = x + length;
      return;
    }
    if (this.count === this.row.length) this.grow();
    this.row[this.count] = y;
    this.start[this.count] = x;
    this.end[this.count] = x + length;
    this.count++;
  }

  private grow(): void {
    const longer = (short: Int32Array) => {
      const copy = new Int32Array(2 * short.length);
      copy.set(short);
      return copy;
    };
    this.row = longer(this.row);
    this.start = longer(this.start);
    this.end = longer(this.end);
  }
}

/** The blobs, largest first (of equal ones the upper, then the left one first), and for each run the place of its blob in that list. */
export function blobsOfRuns(runs: Runs): { blobs: Blob[]; blobOfRun: Int32Array } {
  const parent = joinTouchingRuns(runs);
  const found = new Map<number, Growing>();
  for (let i = 0; i < runs.count; i++) {
    const root = rootOf(parent, i);
    const row = runs.row[i]!;
    const start = runs.start[i]!;
    const end = runs.end[i]!;
    const blob = found.get(root);
    if (blob === undefined) {
      found.set(root, { areaPx: end - start, left: start, top: row, right: end, bottom: row + 1 });
    } else {
      blob.areaPx += end - start;
      blob.left = Math.min(blob.left, start);
      blob.right = Math.max(blob.right, end);
      blob.bottom = row + 1;
    }
  }
  const ordered = [...found].sort(largestFirst);
  const placeOfRoot = new Int32Array(runs.count);
  for (const [index, [root]] of ordered.entries()) placeOfRoot[root] = index;
  const blobOfRun = new Int32Array(runs.count);
  for (let i = 0; i < runs.count; i++) blobOfRun[i] = placeOfRoot[rootOf(parent, i)]!;
  return { blobs: ordered.map(([, blob]) => blob), blobOfRun };
}

type Growing = { -readonly [Part in keyof Blob]: Blob[Part] };

const largestFirst = ([, a]: [number, Blob], [, b]: [number, Blob]): number =>
  b.areaPx - a.areaPx || a.top - b.top || a.left - b.left;

/** Union-find over runs: two runs of neighbouring rows touch where their columns, widened by one, overlap. */
function joinTouchingRuns({ count, row, start, end }: Runs): Int32Array {
  const parent = new Int32Array(count);
  for (let i = 0; i < count; i++) parent[i] = i;
  let above = 0;
  for (let i = 0; i < count; i++) {
    while (
      above < i &&
      (row[above]! < row[i]! - 1 || (row[above] === row[i]! - 1 && end[above]! < start[i]!))
    ) {
      above++;
    }
    for (let j = above; j < i && row[j] === row[i]! - 1 && start[j]! <= end[i]!; j++) {
      const a = rootOf(parent, i);
      const b = rootOf(parent, j);
      if (a !== b) parent[Math.max(a, b)] = Math.min(a, b);
    }
  }
  return parent;
}

function rootOf(parent: Int32Array, run: number): number {
  let root = run;
  while (parent[root] !== root) root = parent[root]!;
  for (let next = run; next !== root; ) {
    const following = parent[next]!;
    parent[next] = root;
    next = following;
  }
  return root;
}
