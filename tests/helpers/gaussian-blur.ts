/** Reach of the kernel in sigmas: what is cut off beyond changes its variance by less than a ten-thousandth. */
const reach = 5;

/** Blur by a Gaussian on encoded values, rounded to whole levels as a file holds them; the border px go on beyond the border. */
export function gaussianBlurred(
  luma: Uint8Array,
  width: number,
  height: number,
  sigmaPx: number,
): Uint8Array {
  const half = Math.ceil(reach * sigmaPx);
  const weights = Array.from({ length: 2 * half + 1 }, (_, i) =>
    Math.exp(-0.5 * ((i - half) / sigmaPx) ** 2),
  );
  const total = weights.reduce((sum, weight) => sum + weight);
  /** One direction: `step` from px to px along a line of `length`, lines `apart` from each other. */
  const alongLines = (from: Float64Array, step: number, length: number, apart: number): Float64Array =>
    from.map((_, at) => {
      const place = Math.floor(at / step) % length;
      const start = apart === 1 ? at % step : at - place;
      let sum = 0;
      for (let k = -half; k <= half; k++) {
        const px = Math.min(length - 1, Math.max(0, place + k));
        sum += weights[k + half]! * from[start + step * px]!;
      }
      return sum / total;
    });
  const rows = alongLines(Float64Array.from(luma), 1, width, width);
  return Uint8Array.from(alongLines(rows, width, height, 1), Math.round);
}
