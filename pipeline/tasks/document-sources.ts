/** What documents are made from besides the results: pictures of the measurement store, and the fonts of a package. */
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import type { Sources } from '../report/sources.ts';
import { readIfThere } from '../store/read-if-there.ts';
import type { RunFile } from './written-documents.ts';

const { resolve } = createRequire(import.meta.url);

const font = (name: string): Promise<Uint8Array> => readFile(resolve(`dejavu-fonts-ttf/ttf/${name}.ttf`));

/** @param pictures what the run copies into the output folder. */
export async function documentSources(pictures: readonly RunFile[]): Promise<Sources> {
  const from = new Map(pictures.flatMap((file) => ('from' in file ? [[file.path, file.from] as const] : [])));
  const [regular, bold] = await Promise.all([font('DejaVuSans'), font('DejaVuSans-Bold')]);
  return {
    fonts: { regular, bold },
    readPicture: async (path) => {
      const source = from.get(path);
      // A store that somebody cleaned meanwhile costs the picture, not the document.
      return source === undefined ? null : readIfThere(source);
    },
  };
}
