import type { Measurement, Picture } from '../../contracts/measurement/measurement.ts';
import { picturesFolder } from '../links.ts';
import { figure } from '../words.ts';
import { parts, type SharpestParts } from './sharpest-parts.ts';

const names = { eyes: 'Eyes', face: 'Face', garment: 'Cloth' } as const;

interface Shown {
  readonly contentHash: string;
  readonly file: string;
  readonly width: number;
  readonly height: number;
}

function Crop({ shown, words }: { shown: Shown; words: string }) {
  return (
    <figure>
      <img
        src={`../${picturesFolder(shown.contentHash)}/${shown.file}`}
        width={shown.width}
        height={shown.height}
        alt=""
        loading="lazy"
      />
      <figcaption>{words}</figcaption>
    </figure>
  );
}

const fileName = (id: string): string => id.split('/').at(-1) ?? id;

/** Pieces of the frame px for px, each beside the same piece of the frame that shows it sharpest in the set. */
export function Crops({
  measurement,
  best,
  own,
}: {
  measurement: Measurement;
  best: SharpestParts;
  own: string;
}) {
  const { contentHash, pictures, sharpness } = measurement;
  const shownAs = (shows: Picture['shows']): Picture | undefined =>
    pictures.find((picture) => picture.shows === shows);
  return (
    <div class="pairs">
      {parts.map((part) => {
        const picture = shownAs(part);
        const blur = sharpness[part];
        const sharpest = best[part];
        const measured = blur ? `, blur ${figure(blur.blurSigmaPx)} px of the file` : '';
        if (!picture) return null;
        return (
          <div key={part} class="pair">
            <Crop shown={{ contentHash, ...picture }} words={`${names[part]} at 100 %${measured}`} />
            {sharpest !== undefined && sharpest.frame !== own && (
              <Crop
                shown={sharpest}
                words={`Sharpest of the set: ${fileName(sharpest.frame)}, blur ${figure(sharpest.blurSigmaPx)} px of its file`}
              />
            )}
            {sharpest?.frame === own && <p class="quiet">The sharpest of the set.</p>}
          </div>
        );
      })}
    </div>
  );
}
