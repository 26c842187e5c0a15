import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import sharp from 'sharp';
import type { Sources } from '../../pipeline/report/sources.ts';

const { resolve } = createRequire(import.meta.url);
const font = (name: string): Uint8Array => readFileSync(resolve(`dejavu-fonts-ttf/ttf/${name}.ttf`));

/** A small grey-green JPEG. */
export async function plainJpeg(width: number, height: number): Promise<Uint8Array> {
  return sharp({ create: { width, height, channels: 3, background: '#8a9a90' } })
    .jpeg()
    .toBuffer();
}

const picture = await plainJpeg(160, 240);

/** Fonts of the package, and the same small picture wherever one is asked for. */
export const plainSources: Sources = {
  fonts: { regular: font('DejaVuSans'), bold: font('DejaVuSans-Bold') },
  readPicture: async () => picture,
};
