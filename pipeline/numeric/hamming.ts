/**
 * Number of bits in which two words of equal length differ (Hamming 1950).
 * @param a hexadecimal digits
 * @throws RangeError where the lengths differ or a character is no hexadecimal digit.
 */
export function hammingDistance(a: string, b: string): number {
  if (a.length !== b.length || !/^[0-9a-f]*$/i.test(a + b)) {
    throw new RangeError(`Expected two hexadecimal words of the same length, received "${a}" and "${b}".`);
  }
  let distance = 0;
  for (let i = 0; i < a.length; i++) {
    let bits = Number.parseInt(a[i]!, 16) ^ Number.parseInt(b[i]!, 16);
    for (; bits > 0; bits &= bits - 1) distance++;
  }
  return distance;
}
