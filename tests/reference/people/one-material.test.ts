import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Rgb8 } from '../../../pipeline/contracts/frame-image.ts';
import type { BackgroundPerson } from '../../../pipeline/contracts/measurement/people.ts';
import { decodeFrame } from '../../../pipeline/decode/decode-frame.ts';
import { isOfOneMaterial } from '../../../pipeline/measure/people/one-material.ts';
import { findPeople } from '../../../pipeline/measure/people.ts';
import { byteOfLinear, linearOfByte, luminanceWeights } from '../../../pipeline/numeric/colour/srgb.ts';

/** The renderer's passer-by turned to stone by its own mask: only the colours change, the shape and the shading stay. */

const samples = new URL('../../../samples/', import.meta.url);
const frame = 'tea-dress/a-0447';

interface TruePerson {
  readonly role: string;
  readonly mask: { readonly rows: number; readonly columns: number; readonly runs: readonly number[] };
}

function passerBy(): TruePerson['mask'] {
  const { people } = JSON.parse(readFileSync(new URL(`truth/${frame}.json`, samples), 'utf8'));
  return (people as TruePerson[]).find(({ role }) => role === 'passer-by')!.mask;
}

/** The picture with every px of the mask in the hue of a material, as light as it was. */
function madeOf(material: readonly [number, number, number], picture: Rgb8): Rgb8 {
  const { rows, columns, runs } = passerBy();
  const inside = runs.flatMap((length, index) => Array<boolean>(length).fill(index % 2 === 1));
  const data = Uint8Array.from(picture.data);
  const light = material.reduce((sum, level, channel) => sum + luminanceWeights[channel]! * level, 0);
  for (let at = 0; at < picture.width * picture.height; at++) {
    const row = Math.floor(((Math.floor(at / picture.width) + 0.5) / picture.height) * rows);
    const column = Math.floor((((at % picture.width) + 0.5) / picture.width) * columns);
    if (inside[row * columns + column] !== true) continue;
    const luminance = [0, 1, 2].reduce(
      (sum, channel) => sum + luminanceWeights[channel]! * linearOfByte[data[3 * at + channel]!]!,
      0,
    );
    for (let channel = 0; channel < 3; channel++) {
      data[3 * at + channel] = byteOfLinear((luminance * material[channel]!) / light);
    }
  }
  return { ...picture, data };
}

const shown = async () => (await decodeFrame(readFileSync(new URL(`delivery/${frame}.jpg`, samples)))).image;

/** What the passer-by whom the mask is of may be: the surest figure in the right half. */
const onTheRight = (background: readonly BackgroundPerson[]) =>
  background.find(({ box }) => box[0] > 0.5)?.mayBe;

describe('a figure of one material', () => {
  it.each([
    ['stone', [0.5, 0.48, 0.42]],
    ['plaster', [0.8, 0.8, 0.78]],
    ['grey plastic', [0.45, 0.45, 0.46]],
  ] as const)('of %s is noted as a statue, not found as a person', async (_, material) => {
    const image = await shown();
    const { background } = await findPeople({ ...image, analysis: madeOf(material, image.analysis) });
    expect(onTheRight(background)).toContain('statue or mannequin');
  });

  it('is nobody in cloth, hair and skin', async () => {
    const { background } = await findPeople(await shown());
    expect(onTheRight(background)).toBeNull();
  });

  it('cannot be told in the dark, without a mask, or in a picture without colour', () => {
    const stone = { spread: 2, lightness: 50 };
    const model = { spread: 15, lightness: 50 };
    expect(isOfOneMaterial(stone, model)).toBe(true);
    expect(isOfOneMaterial({ ...stone, lightness: 10 }, model)).toBe(false);
    expect(isOfOneMaterial(null, model)).toBe(false);
    expect(isOfOneMaterial(stone, { spread: 2, lightness: 50 })).toBe(false);
    expect(isOfOneMaterial(stone, null)).toBe(false);
  });
});
