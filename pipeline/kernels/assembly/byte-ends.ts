// Search for 8-bit samples at either end of their range.

/**
 * The first group of 48 bytes (16 px of RGB) that holds a 0 or a 255.
 * @param end of the samples; up to 47 bytes more are read
 * @returns where the group begins, or `end` or more
 */
export function findEnd(from: usize, end: usize): usize {
  const lowest = i8x16.splat(0);
  const highest = i8x16.splat(-1);
  for (; from < end; from += 48) {
    const a = v128.load(from);
    const b = v128.load(from, 16);
    const c = v128.load(from, 32);
    const most = i8x16.max_u(i8x16.max_u(a, b), c);
    const least = i8x16.min_u(i8x16.min_u(a, b), c);
    if (v128.any_true(v128.or(i8x16.eq(most, highest), i8x16.eq(least, lowest)))) break;
  }
  return from;
}
