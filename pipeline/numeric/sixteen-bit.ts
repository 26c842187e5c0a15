/** Whole pictures at 16 bits a channel, white = 65535. */

/** Codes of an encoding that is sRGB already, to the nearest 8-bit code. */
export function narrowTo8Bit(data: Uint16Array): Uint8Array {
  const result = new Uint8Array(data.length);
  // 65535 / 255 = 257.
  for (let i = 0; i < data.length; i++) result[i] = (data[i]! + 128) / 257;
  return result;
}

/**
 * Codes of 9 to 15 bits that a decoder has shifted up to 16 end below white: repeats their upper bits in the empty lower
 * ones, so that the highest code becomes 65535. In place.
 */
export function reachCeiling(data: Uint16Array, bits: number): void {
  if (bits <= 8 || bits >= 16) return;
  for (let i = 0; i < data.length; i++) data[i] = data[i]! | (data[i]! >> bits);
}

/** RGBA (straight alpha) over white: RGB. The image library's own white falls short of 65535 here. */
export function layOnWhite(rgba: Uint16Array): Uint16Array {
  const result = new Uint16Array((rgba.length / 4) * 3);
  for (let from = 0, to = 0; from < rgba.length; from += 4, to += 3) {
    const alpha = rgba[from + 3]! / 65535;
    const white = 65535 * (1 - alpha) + 0.5;
    result[to] = rgba[from]! * alpha + white;
    result[to + 1] = rgba[from + 1]! * alpha + white;
    result[to + 2] = rgba[from + 2]! * alpha + white;
  }
  return result;
}
