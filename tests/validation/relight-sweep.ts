/** Drift of frames that were relit by a known change of illuminant, cropped, or both. */

import { readdir, readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import type { Rgb8 } from '../../pipeline/contracts/frame-image.ts';
import type { People } from '../../pipeline/contracts/measurement/people.ts';
import { areasOf } from '../../pipeline/measure/colour/areas.ts';
import { once } from '../../pipeline/numeric/once.ts';
import { frameOf, noRegions } from '../helpers/made-frame.ts';
import { inSize, type NamedPicture } from '../helpers/photographs-in-light.ts';
import { sharpPhotographs } from '../helpers/real-photographs.ts';
import { relit, wholeMask } from '../helpers/relit.ts';
import { changes, driftIn, setFrame, toleranceMired } from './drift-of-frames.ts';
import { look, type Scene } from './scene.ts';
import type { SweepPlan, SweepPoint } from './sweep.ts';

/** For views of a garment that show different parts of it: our own choice, no published limit. */
const toleranceBetweenViews = (mired: number): number => Math.max(2, 0.07 * Math.abs(mired));

function relitPoint(
  condition: string,
  mired: number,
  measured: number | null | undefined,
  tolerance = toleranceMired(mired),
): SweepPoint {
  return {
    condition,
    truth: mired,
    measured: measured ?? null,
    low: mired - tolerance,
    high: mired + tolerance,
  };
}

/** The regions stay where they are: the light changes the picture that colours are read from. */
const underLight = (scene: Scene, mired: number, duv: number): Scene => ({
  ...scene,
  image: { ...scene.image, analysis: relit(scene.image.analysis, mired, duv) },
});

const deliveryFolder = fileURLToPath(new URL('../../samples/delivery/tea-dress/', import.meta.url));

async function renderedSet(): Promise<readonly (Scene & { readonly name: string })[]> {
  const scenes: (Scene & { readonly name: string })[] = [];
  for (const name of (await readdir(deliveryFolder)).filter((file) => file.endsWith('.jpg')).sort()) {
    scenes.push({ name, ...(await look(await readFile(`${deliveryFolder}${name}`))) });
  }
  return scenes;
}

/** Each frame of a set in turn is the only one that is relit; what it read before is taken off. */
export const relitRenderedFrames: SweepPlan = {
  id: 'drift-rendered',
  quantity: 'drift of one relit frame of a set in six crops and views',
  unit: 'mired',
  range: 'six rendered frames in patterned cloth, -60 to +60 mired and ±0.01 Duv',
  source: 'von Kries change of the light, in linear sRGB',
  limitText: '2 mired or 7 %',
  measure: async () => {
    const scenes = await renderedSet();
    const set = scenes.map((scene) => setFrame(scene.name, scene));
    return scenes.flatMap((scene, index) => {
      const before = driftIn(set, scene.name);
      const others = set.filter(({ id }) => id !== scene.name);
      // Every second change, beginning with another one from frame to frame: all of them three times.
      return changes
        .filter((_, order) => order % 2 === index % 2)
        .map(([mired, duv]): SweepPoint => {
          const after = driftIn([...others, setFrame(scene.name, underLight(scene, mired, duv))], scene.name);
          const moved = before && after && after.mired - before.mired;
          return relitPoint(
            `${scene.name}, ${mired} mired and ${duv} Duv`,
            mired,
            moved,
            toleranceBetweenViews(mired),
          );
        });
    });
  },
};

const nobody: People = { subjects: [], background: [], reason: {} };

/** A picture that is all one material, which may be as patterned as it likes. */
function asCloth(picture: Rgb8): Scene {
  return { image: frameOf(picture), people: nobody, regions: { ...noRegions, garment: wholeMask(picture) } };
}

/** A green without any blue leaves nothing to tell its light by: at least a fifth of a photograph is well exposed in all channels. */
const exposedPhotographs = once(async (): Promise<readonly NamedPicture[]> => {
  const pictures = await inSize(sharpPhotographs(), 480);
  return pictures.filter(({ picture }) => {
    const areaPx = 9;
    return areasOf(picture, null).count * areaPx > 0.2 * picture.width * picture.height;
  });
});

/** Scenery stands in for cloth of every hue; cut differently it shows other things, so the crop stays. */
export const relitPhotographs: SweepPlan = {
  id: 'drift-photographs',
  quantity: 'drift of one relit frame of four',
  unit: 'mired',
  range: 'seven camera photographs (Debian mate-backgrounds), -60 to +60 mired and ±0.01 Duv',
  source: 'von Kries change of the light, in linear sRGB',
  limitText: '1.5 mired or 5 %; 2 mired where only the tint changed',
  measure: async () => {
    const pictures = await exposedPhotographs();
    return pictures.flatMap(({ name, picture }) => {
      const set = ['1', '2', '3'].map((id) => setFrame(id, asCloth(picture)));
      return changes.map(([mired, duv]): SweepPoint => {
        const moved = setFrame('moved', asCloth(relit(picture, mired, duv)));
        return relitPoint(
          `${name}, ${mired} mired and ${duv} Duv`,
          mired,
          driftIn([...set, moved], 'moved')?.mired,
        );
      });
    });
  },
};

/** Tint of the same frames. */
export const retintedPhotographs: SweepPlan = {
  id: 'drift-tint',
  quantity: 'tint of one relit frame of four',
  unit: 'Duv',
  range: 'seven camera photographs (Debian mate-backgrounds), -0.01 to +0.01 Duv',
  source: 'von Kries change of the light, in linear sRGB',
  limitText: '0.001',
  measure: async () => {
    const pictures = await exposedPhotographs();
    return pictures.flatMap(({ name, picture }) => {
      const set = ['1', '2', '3'].map((id) => setFrame(id, asCloth(picture)));
      return [-0.01, -0.005, 0.005, 0.01].map((duv): SweepPoint => {
        const moved = setFrame('moved', asCloth(relit(picture, 0, duv)));
        const measured = driftIn([...set, moved], 'moved')?.duv ?? null;
        return { truth: duv, measured, low: duv - 0.001, high: duv + 0.001, condition: name };
      });
    });
  },
};

export const relightSweeps: readonly SweepPlan[] = [
  relitPhotographs,
  retintedPhotographs,
  relitRenderedFrames,
];
