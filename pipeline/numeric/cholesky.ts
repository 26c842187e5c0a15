// Small symmetric positive definite systems, row-major `size` x `size`, lower triangle only.

/**
 * Writes the Cholesky factor of `matrix`, its diagonal raised by the share `damping` (Levenberg-Marquardt), into `factor`.
 * Returns false where the matrix is not positive definite.
 */
export function choleskyFactor(
  matrix: Float64Array,
  size: number,
  damping: number,
  factor: Float64Array,
): boolean {
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      let v = matrix[i * size + j]!;
      if (i === j) v *= 1 + damping;
      for (let k = 0; k < j; k++) v -= factor[i * size + k]! * factor[j * size + k]!;
      if (i !== j) factor[i * size + j] = v / factor[j * size + j]!;
      else if (v > 0) factor[i * size + i] = Math.sqrt(v);
      else return false;
    }
  }
  return true;
}

/** Solves (factor * factor^T) * into = right. */
export function choleskySolve(
  factor: Float64Array,
  size: number,
  right: Float64Array,
  into: Float64Array,
): void {
  for (let i = 0; i < size; i++) {
    let v = right[i]!;
    for (let k = 0; k < i; k++) v -= factor[i * size + k]! * into[k]!;
    into[i] = v / factor[i * size + i]!;
  }
  for (let i = size - 1; i >= 0; i--) {
    let v = into[i]!;
    for (let k = i + 1; k < size; k++) v -= factor[k * size + i]! * into[k]!;
    into[i] = v / factor[i * size + i]!;
  }
}
