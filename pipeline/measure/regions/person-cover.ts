import type { PersonMask } from '../networks/blazepose.ts';
import type { Patch } from './patch.ts';

/**
 * The person mask read bilinearly at the middle of every cell of a patch, 0..1; 0 outside the network's crop.
 * Mask and patch must be of the same picture.
 */
export function coverOnPatch(
  mask: PersonMask,
  patch: Pick<Patch, 'region' | 'columns' | 'rows'>,
): Float32Array {
  const { region, columns, rows } = patch;
  const cover = new Float32Array(columns * rows);
  const { side, cover: values } = mask;
  for (let y = 0; y < rows; y++) {
    const v =
      ((region.y + ((y + 0.5) / rows) * region.height - mask.region.y) / mask.region.height) * side - 0.5;
    const top = Math.floor(v);
    if (top < 0 || top >= side - 1) continue;
    const below = v - top;
    for (let x = 0; x < columns; x++) {
      const u =
        ((region.x + ((x + 0.5) / columns) * region.width - mask.region.x) / mask.region.width) * side - 0.5;
      const left = Math.floor(u);
      if (left < 0 || left >= side - 1) continue;
      const at = top * side + left;
      const right = u - left;
      cover[y * columns + x] =
        (values[at]! * (1 - right) + values[at + 1]! * right) * (1 - below) +
        (values[at + side]! * (1 - right) + values[at + side + 1]! * right) * below;
    }
  }
  return cover;
}
