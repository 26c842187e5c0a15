import type { Capture } from '../../contracts/measurement/file.ts';
import type { Measurement } from '../../contracts/measurement/measurement.ts';
import type { FrameResult } from '../../contracts/results.ts';
import { picturesFolder } from '../links.ts';
import { exposureTime, figure, frameAdvice } from '../words.ts';
import { Crops } from './crops.tsx';
import { Findings } from './findings.tsx';
import { HistogramPlot } from './histogram.tsx';
import { Overlay } from './overlay.tsx';
import { Verdict } from './page.tsx';
import { Scroll } from './parts.tsx';
import type { SharpestParts } from './sharpest-parts.ts';

type Row = readonly [label: string, value: string];

const px = (
  blur: { readonly blurSigmaPx: number; readonly mtf50CyPx: number } | null,
  why: string | undefined,
): string =>
  blur === null
    ? `not measured${why ? `: ${why}` : ''}`
    : `${figure(blur.blurSigmaPx)} px (MTF50 ${figure(blur.mtf50CyPx)} cycles/px)`;

/** What was measured, as rows of words. */
function measuredRows({ file, framing, sharpness, exposure, colour }: Measurement): readonly Row[] {
  const percent = (share: number | null): string =>
    share === null ? 'not measured' : `${figure(share * 100)} %`;
  return [
    [
      'File',
      `${file.format}, ${file.width} × ${file.height} px, ${file.colourProfile ?? 'no colour profile'}`,
    ],
    ['Crop and view', `${framing.crop}, ${framing.view}`],
    ['Blur, eyes', px(sharpness.eyes, sharpness.reason.eyes)],
    ['Blur, face', px(sharpness.face, sharpness.reason.face)],
    ['Blur, garment', px(sharpness.garment, sharpness.reason.garment)],
    ['Blur, background', px(sharpness.background, sharpness.reason.background)],
    ['Clipped, garment', percent(exposure.clippedShare.garment)],
    ['Clipped, frame', percent(exposure.clippedShare.frame)],
    [
      'Colour temperature',
      colour.cctK === null
        ? 'not measured'
        : `${figure(colour.cctK)} K, Duv ${(colour.duv ?? 0).toFixed(4)}, ± ${figure(colour.sigmaMired ?? 0)} mired (from ${colour.reference})`,
    ],
  ];
}

/** The camera's settings; what the file does not say is left out. */
function captureRows(capture: Capture): readonly Row[] {
  const {
    takenAt,
    make,
    model,
    serial,
    lens,
    fNumber,
    exposureTimeS,
    iso,
    focalLengthMm,
    flashFired,
    whiteBalance,
  } = capture;
  const rows: readonly (readonly [string, string | null])[] = [
    ['Taken', takenAt],
    ['Body', [make, model, serial].filter((part) => part !== null).join(' ') || null],
    ['Lens', lens],
    ['Aperture', fNumber && `f/${figure(fNumber)}`],
    ['Exposure', exposureTimeS && exposureTime(exposureTimeS)],
    ['ISO', iso && String(iso)],
    ['Focal length', focalLengthMm && `${figure(focalLengthMm)} mm`],
    ['Flash', flashFired === null ? null : flashFired ? 'fired' : 'did not fire'],
    ['White balance', whiteBalance],
  ].map(([label, value]) => [String(label), value === null || value === 0 ? null : String(value)] as const);
  return rows.filter((row): row is Row => row[1] !== null);
}

function Rows({ rows }: { rows: readonly Row[] }) {
  return (
    <table>
      <tbody>
        {rows.map(([label, value]) => (
          <tr key={label}>
            <th scope="row">{label}</th>
            <td>{value}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function Pictures({
  measurement,
  numbered,
}: {
  measurement: Measurement;
  numbered: FrameResult['findings'];
}) {
  const folder = `../${picturesFolder(measurement.contentHash)}`;
  const whole = measurement.pictures.find((picture) => picture.shows === 'frame');
  if (!whole) return null;
  return (
    <figure>
      <div class="whole">
        <img
          src={`${folder}/${whole.file}`}
          width={whole.width}
          height={whole.height}
          alt=""
          loading="lazy"
        />
        <Overlay measurement={measurement} numbered={numbered} />
      </div>
      <figcaption>
        Full line: the model. Dashed: what was found, numbered as in the list of findings.
      </figcaption>
    </figure>
  );
}

/** Everything about one frame: picture with what was found drawn over it, findings, crops at 100 % and the numbers. */
export function FrameSection({
  frame,
  anchor,
  best,
}: {
  frame: FrameResult;
  anchor: string;
  best: SharpestParts;
}) {
  const { measurement, findings } = frame;
  const numbered = findings.filter(({ region }) => region !== undefined);
  return (
    <section class="frame" id={anchor} data-verdict={frame.verdict} aria-labelledby={`${anchor}-name`}>
      <header>
        <h3 id={`${anchor}-name`}>{frame.id}</h3>
        <Verdict is={frame.verdict} />
        <span class="quiet">{frameAdvice[frame.verdict]}</span>
        <a class="screen-only back" href="#frames">
          All frames
        </a>
      </header>
      <div class="sides">
        {measurement && (
          <div class="stays">
            <Pictures measurement={measurement} numbered={numbered} />
            <HistogramPlot histogram={measurement.exposure.histogram} />
          </div>
        )}
        <div>
          {findings.length === 0 ? (
            <p>Nothing to report.</p>
          ) : (
            <Findings findings={findings} numbered={numbered} />
          )}
          {measurement && <Crops measurement={measurement} best={best} own={frame.id} />}
          {measurement && (
            <details>
              <summary>Measurements and camera settings</summary>
              <Scroll label="Measurements and camera settings">
                <Rows rows={[...measuredRows(measurement), ...captureRows(measurement.capture)]} />
              </Scroll>
            </details>
          )}
        </div>
      </div>
    </section>
  );
}
