/** A grey or white card drawn into a picture. */
import sharp from 'sharp';
import type { Rgb8 } from '../../pipeline/contracts/frame-image.ts';
import type { LogRatios } from '../../pipeline/numeric/colour/cast.ts';
import { byteOfLinear, linearOfByte } from '../../pipeline/numeric/colour/srgb.ts';
import { gaussian, seededRandom } from './random.ts';

export interface DrawnCard {
  /** Centre, and half of the width and of the height before it is turned, px. */
  readonly centre: readonly [number, number];
  readonly half: readonly [number, number];
  readonly turnDeg: number;
  /** Share of the light that it gives back. */
  readonly grey: number;
  readonly light: LogRatios;
  /** Change of the light from one end to the other, as a share. */
  readonly shading: number;
  /** Standard deviation of the noise, codes. */
  readonly noise: number;
}

/** Samples along each axis of a px, for its edge. */
const samples = 4;

/** The picture with the card before it, edges averaged in linear light, after JPEG of quality 85. */
export async function withCard(picture: Rgb8, card: DrawnCard): Promise<Rgb8> {
  const { width, height } = picture;
  const data = Uint8Array.from(picture.data);
  const tint = [Math.exp(card.light.redGreen), 1, Math.exp(card.light.blueGreen)];
  const [cos, sin] = [Math.cos((card.turnDeg * Math.PI) / 180), Math.sin((card.turnDeg * Math.PI) / 180)];
  const random = seededRandom(1);
  const onCard = (x: number, y: number): readonly [number, number] => {
    const [dx, dy] = [x - card.centre[0], y - card.centre[1]];
    return [(dx * cos + dy * sin) / card.half[0], (dy * cos - dx * sin) / card.half[1]];
  };
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      let covered = 0;
      for (let i = 0; i < samples ** 2; i++) {
        const [u, v] = onCard(
          x + ((i % samples) + 0.5) / samples,
          y + (Math.floor(i / samples) + 0.5) / samples,
        );
        if (Math.abs(u) <= 1 && Math.abs(v) <= 1) covered += 1 / samples ** 2;
      }
      if (covered === 0) continue;
      const lit = card.grey * (1 + (card.shading / 2) * onCard(x, y)[0]);
      tint.forEach((gain, channel) => {
        const at = 3 * (y * width + x) + channel;
        const light = (1 - covered) * linearOfByte[data[at]!]! + covered * lit * gain;
        data[at] = Math.max(
          0,
          Math.min(255, Math.round(byteOfLinear(light) + card.noise * gaussian(random))),
        );
      });
    }
  }
  const jpeg = await sharp(data, { raw: { width, height, channels: 3 } })
    .jpeg({ quality: 85 })
    .toBuffer();
  return { width, height, data: new Uint8Array(await sharp(jpeg).raw().toBuffer()) };
}
