/** Real photographs as pictures in linear light, brightened and darkened in stops. */
import { readFile } from 'node:fs/promises';
import { basename } from 'node:path';
import sharp from 'sharp';
import type { Rgb8 } from '../../pipeline/contracts/frame-image.ts';
import { byteOfLinear, linearOfByte } from '../../pipeline/numeric/colour/srgb.ts';

export interface NamedPicture {
  readonly name: string;
  readonly picture: Rgb8;
}

/** The photographs with a long edge of `longEdgePx`, named as their files are. */
export function inSize(paths: readonly string[], longEdgePx: number): Promise<readonly NamedPicture[]> {
  return Promise.all(
    paths.map(async (path) => {
      const { data, info } = await sharp(await readFile(path))
        .resize({ width: longEdgePx, height: longEdgePx, fit: 'inside' })
        .toColourspace('srgb')
        .removeAlpha()
        .raw()
        .toBuffer({ resolveWithObject: true });
      const picture = { width: info.width, height: info.height, data: new Uint8Array(data) };
      return { name: basename(path, '.jpg'), picture };
    }),
  );
}

/** The picture with the light of each row changed by so many stops; what passes the ceiling is clipped. */
export function exposed(picture: Rgb8, stopsOfRow: (row: number) => number): Rgb8 {
  const { width, height } = picture;
  const data = new Uint8Array(picture.data.length);
  let codes = new Uint8Array(0);
  let stops = Number.NaN;
  for (let row = 0; row < height; row++) {
    if (stopsOfRow(row) !== stops) {
      stops = stopsOfRow(row);
      codes = Uint8Array.from(linearOfByte, (light) => byteOfLinear(light * 2 ** stops));
    }
    for (let i = 3 * width * row; i < 3 * width * (row + 1); i++) data[i] = codes[picture.data[i]!]!;
  }
  return { width, height, data };
}
