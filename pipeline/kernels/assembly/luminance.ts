// Sums and counts of the luminance of 8-bit RGB. `tables` holds what each code of red, of green and of blue adds, 64-bit floating point.

function luminanceOf(rgb: usize, tables: usize): f64 {
  const red = load<f64>(tables + ((<usize>load<u8>(rgb)) << 3));
  const green = load<f64>(tables + ((<usize>load<u8>(rgb, 1)) << 3), 2048);
  const blue = load<f64>(tables + ((<usize>load<u8>(rgb, 2)) << 3), 4096);
  return red + green + blue;
}

/**
 * Adds the luminance of a row of px to the sums of their cells, from left to right.
 * @param cells of each px, 32-bit
 * @param sums 64-bit floating point
 */
export function addLuminance(rgb: usize, count: i32, tables: usize, cells: usize, sums: usize): void {
  for (const end = rgb + <usize>(3 * count); rgb < end; rgb += 3, cells += 4) {
    const sum = sums + ((<usize>load<i32>(cells)) << 3);
    store<f64>(sum, load<f64>(sum) + luminanceOf(rgb, tables));
  }
}

/**
 * Counts a row of px by the square root of their luminance, where the mask covers at least `least`.
 * @param mask a byte a px
 * @param bins of the roots 0 to 1
 * @param histogram `bins + 1` counts, 32-bit: a root belongs to the nearest one
 */
export function countRoots(
  rgb: usize,
  count: i32,
  tables: usize,
  mask: usize,
  least: u8,
  bins: f64,
  histogram: usize,
): void {
  for (const end = rgb + <usize>(3 * count); rgb < end; rgb += 3, mask++) {
    if (load<u8>(mask) < least) continue;
    const bin = histogram + ((<usize>(bins * Math.sqrt(luminanceOf(rgb, tables)) + 0.5)) << 2);
    store<i32>(bin, load<i32>(bin) + 1);
  }
}
