// Where interleaved 8-bit RGB is without structure, as in numeric/flat-px.ts. Sums of 25 samples fit into 16 bits.

/** Adds an entering row of samples to the sums of each column and takes out the one that leaves; 0 where none does. */
function slide(sums: usize, entering: usize, leaving: usize, samples: usize): void {
  for (let at: usize = 0; at < samples; at += 8) {
    const to = sums + 2 * at;
    let eight = i16x8.add(v128.load(to), v128.load8x8_u(entering + at));
    if (leaving !== 0) eight = i16x8.sub(eight, v128.load8x8_u(leaving + at));
    v128.store(to, eight);
  }
}

/** Adds up five px of each channel; the first sum is that of px 0 to 4. */
function addAcross(sums: usize, into: usize, samples: usize): void {
  for (let at: usize = 0; at < 2 * samples; at += 16) {
    const from = sums + at;
    const outer = i16x8.add(v128.load(from), v128.load(from, 24));
    const inner = i16x8.add(v128.load(from, 6), v128.load(from, 18));
    v128.store(into + at, i16x8.add(i16x8.add(outer, inner), v128.load(from, 12)));
  }
}

/** Whether each of eight sums lies within the limits and steps little between its neighbours: all bits set, or none. */
function isFlat(above: usize, here: usize, below: usize, least: i16, most: i16, step: i16): v128 {
  const sum = v128.load(here);
  const across = i16x8.abs(i16x8.sub(v128.load(here + 6), v128.load(here - 6)));
  const down = i16x8.abs(i16x8.sub(v128.load(below), v128.load(above)));
  const within = v128.and(i16x8.ge_s(sum, i16x8.splat(least)), i16x8.le_s(sum, i16x8.splat(most)));
  return v128.and(within, i16x8.le_s(i16x8.max_s(across, down), i16x8.splat(step)));
}

/**
 * Tells of each sample whether its 5 x 5 px sum, of its own channel, lies from `least` to `most`, and those of its neighbours to both
 * sides, and above and below, differ by no more than `step`.
 * @param rgb two px wider than the area on each side
 * @param columns of the area
 * @param sums room for four rows of the wider area, each with eight more, and eight more, 16-bit
 * @param into a byte a sample of the area, row after row: 255 or 0, any in its outermost px; up to 15 more are written
 */
export function flatSamples(
  rgb: usize,
  columns: i32,
  rows: i32,
  least: i16,
  most: i16,
  step: i16,
  sums: usize,
  into: usize,
): void {
  const samples = <usize>(3 * columns);
  const wide = samples + 12;
  /** Bytes between the rows of sums, with room for those that are written over the end. */
  const stride: usize = (wide + 8) << 1;
  const ring = sums + stride;
  memory.fill(sums, 0, stride);
  for (let y = 0; y < rows + 4; y++) {
    const entering = rgb + <usize>y * wide;
    slide(sums, entering, y < 5 ? 0 : entering - 5 * wide, wide);
    if (y < 4) continue;
    addAcross(sums, ring + <usize>(y % 3) * stride, samples);
    if (y < 6) continue;
    const above = ring + <usize>((y - 2) % 3) * stride;
    const here = ring + <usize>((y - 1) % 3) * stride;
    const below = ring + <usize>(y % 3) * stride;
    for (let at: usize = 0; at < samples; at += 16) {
      const low = isFlat(above + 2 * at, here + 2 * at, below + 2 * at, least, most, step);
      const next: usize = (at << 1) + 16;
      const high = isFlat(above + next, here + next, below + next, least, most, step);
      v128.store(into + <usize>(y - 5) * samples + at, i8x16.narrow_i16x8_s(low, high));
    }
  }
}
