import type { Rgb8 } from '../../pipeline/contracts/frame-image.ts';
import { convolved, type Tap } from './disc-blur.ts';

/** Points along the path for each px of it. */
const fineness = 16;

/** A straight path as px weights: points spread evenly along it, each shared out among the four px round it. */
function pathTaps(lengthPx: number, deg: number): readonly Tap[] {
  const points = Math.ceil(fineness * lengthPx);
  const weights = new Map<string, Tap>();
  for (let i = 0; i < points; i++) {
    const along = ((i + 0.5) / points - 0.5) * lengthPx;
    const x = along * Math.cos((deg * Math.PI) / 180);
    // Rows run downwards, angles anticlockwise.
    const y = -along * Math.sin((deg * Math.PI) / 180);
    for (const dx of [Math.floor(x), Math.floor(x) + 1]) {
      for (const dy of [Math.floor(y), Math.floor(y) + 1]) {
        const weight = ((1 - Math.abs(x - dx)) * (1 - Math.abs(y - dy))) / points;
        const key = `${dx} ${dy}`;
        weights.set(key, { dx, dy, weight: weight + (weights.get(key)?.weight ?? 0) });
      }
    }
  }
  return [...weights.values()];
}

/** The picture moved along a straight path during its exposure, in its encoded values. */
export function moved({ width, height, data }: Rgb8, lengthPx: number, deg: number): Rgb8 {
  const all = { left: 0, top: 0, right: width, bottom: height };
  return {
    width,
    height,
    data: convolved(data, { width, height, channels: 3 }, all, pathTaps(lengthPx, deg)),
  };
}
