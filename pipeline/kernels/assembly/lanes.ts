// Four 32-bit numbers as two pairs in double precision, and back.

/** The last two of four 32-bit numbers, first. */
export function last(numbers: v128): v128 {
  return i64x2.shuffle(numbers, numbers, 1, 1);
}

/** The first two of four floating-point numbers. */
export function firstTwo(numbers: v128): v128 {
  return f64x2.promote_low_f32x4(numbers);
}

/** The last two of four floating-point numbers. */
export function lastTwo(numbers: v128): v128 {
  return f64x2.promote_low_f32x4(last(numbers));
}

/** Two pairs as four 32-bit numbers. */
export function joined(firstPair: v128, lastPair: v128): v128 {
  return i64x2.shuffle(f32x4.demote_f64x2_zero(firstPair), f32x4.demote_f64x2_zero(lastPair), 0, 2);
}
