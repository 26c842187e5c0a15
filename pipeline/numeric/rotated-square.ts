/** A square of a picture that may be turned, as networks want faces and eyes upright. */
import { type RgbPicture, resample, resampleForNow } from './resample.ts';

export interface RotatedSquare {
  /** px of the picture. */
  readonly centreX: number;
  readonly centreY: number;
  readonly side: number;
  /** Radians from the picture's x axis to the square's, clockwise as seen (y points down). */
  readonly angle: number;
}

/** From shares (0..1) of the square to px of the picture. */
export function fromSquare(square: RotatedSquare, x: number, y: number): readonly [number, number] {
  const [cos, sin] = [Math.cos(square.angle), Math.sin(square.angle)];
  const [dx, dy] = [(x - 0.5) * square.side, (y - 0.5) * square.side];
  return [square.centreX + dx * cos - dy * sin, square.centreY + dx * sin + dy * cos];
}

/** Below this turn the corner of a 192 px square moves by less than a tenth of a px. */
const negligibleAngle = 1e-3;

/**
 * @param outputSide px of the result's side
 * @param fill value 0..255 outside the picture
 * @returns interleaved RGB 0..255, `3 * outputSide ** 2` values; reduced with the filter of {@link resample}, turned bilinearly
 */
export function sampleSquare(
  picture: RgbPicture,
  square: RotatedSquare,
  outputSide: number,
  fill = 0,
): Float32Array {
  const { centreX, centreY, side, angle } = square;
  const around = (size: number) => ({
    x: centreX - size / 2,
    y: centreY - size / 2,
    width: size,
    height: size,
  });
  if (Math.abs(angle) < negligibleAngle) {
    return resample(picture, around(side), outputSide, outputSide, fill);
  }
  // First an upright square around the turned one at the final scale, never enlarged; two px spare for the bilinear edge.
  const scale = Math.max(1, side / outputSide);
  const uprightSide = Math.ceil((side * Math.SQRT2) / scale) + 2;
  const upright = resampleForNow(picture, around(uprightSide * scale), uprightSide, uprightSide, fill);
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  const step = side / outputSide / scale;
  const result = new Float32Array(3 * outputSide * outputSide);
  for (let v = 0; v < outputSide; v++) {
    const dy = (v + 0.5 - outputSide / 2) * step;
    for (let u = 0; u < outputSide; u++) {
      const dx = (u + 0.5 - outputSide / 2) * step;
      const x = uprightSide / 2 + dx * cos - dy * sin - 0.5;
      const y = uprightSide / 2 + dx * sin + dy * cos - 0.5;
      const left = Math.floor(x);
      const top = Math.floor(y);
      const shareX = x - left;
      const shareY = y - top;
      const at = 3 * (v * outputSide + u);
      const source = 3 * (top * uprightSide + left);
      for (let channel = 0; channel < 3; channel++) {
        const above = upright[source + channel]! * (1 - shareX) + upright[source + 3 + channel]! * shareX;
        const below =
          upright[source + 3 * uprightSide + channel]! * (1 - shareX) +
          upright[source + 3 * uprightSide + 3 + channel]! * shareX;
        result[at + channel] = above * (1 - shareY) + below * shareY;
      }
    }
  }
  return result;
}
