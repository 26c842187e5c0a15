/** Three numbers: RGB, XYZ, Lab or cone responses. */
export type Triple = readonly [number, number, number];

/** 3 x 3, rows first. */
export type Matrix3 = readonly [Triple, Triple, Triple];

/** Matrix times column vector. */
export function apply(matrix: Matrix3, vector: Triple): Triple {
  const [p, q, r] = matrix;
  return [dot(p, vector), dot(q, vector), dot(r, vector)];
}

export function multiply(left: Matrix3, right: Matrix3): Matrix3 {
  const columns = transpose(right);
  const row = (of: Triple): Triple => [dot(of, columns[0]), dot(of, columns[1]), dot(of, columns[2])];
  return [row(left[0]), row(left[1]), row(left[2])];
}

/** By cofactors. @throws RangeError where the determinant is 0. */
export function invert(matrix: Matrix3): Matrix3 {
  const [p, q, r] = matrix;
  const qr = cross(q, r);
  const rp = cross(r, p);
  const pq = cross(p, q);
  const determinant = dot(p, qr);
  if (determinant === 0) throw new RangeError('A matrix whose determinant is 0 has no inverse.');
  const row = (i: 0 | 1 | 2): Triple => [qr[i] / determinant, rp[i] / determinant, pq[i] / determinant];
  return [row(0), row(1), row(2)];
}

export function diagonal([a, b, c]: Triple): Matrix3 {
  return [
    [a, 0, 0],
    [0, b, 0],
    [0, 0, c],
  ];
}

function transpose([p, q, r]: Matrix3): Matrix3 {
  return [
    [p[0], q[0], r[0]],
    [p[1], q[1], r[1]],
    [p[2], q[2], r[2]],
  ];
}

function dot(a: Triple, b: Triple): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

function cross(a: Triple, b: Triple): Triple {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}
