import type { FrameResult, GarmentResult, Results } from '../../contracts/results.ts';
import { picturesFolder, smallest } from '../links.ts';
import { count, figure, garmentAdvice } from '../words.ts';
import { DriftPlot } from './drift-plot.tsx';
import { Findings } from './findings.tsx';
import { FrameSection } from './frame-section.tsx';
import { renderPage, Verdict } from './page.tsx';

const anchor = (index: number): string => `frame-${index + 1}`;

function ContactSheet({ frames }: { frames: readonly FrameResult[] }) {
  return (
    <ul class="contact">
      {frames.map((frame, index) => {
        const picture = frame.measurement && smallest(frame.measurement.pictures);
        return (
          <li key={frame.id}>
            <a href={`#${anchor(index)}`}>
              {frame.measurement && picture ? (
                <img
                  src={`../${picturesFolder(frame.measurement.contentHash)}/${picture.file}`}
                  width={picture.width}
                  height={picture.height}
                  alt=""
                  loading="lazy"
                />
              ) : (
                <span class="none">no picture</span>
              )}
              <span class="name">{frame.id.split('/').at(-1)}</span>
              <Verdict is={frame.verdict} />
            </a>
          </li>
        );
      })}
    </ul>
  );
}

function Views({ garment }: { garment: GarmentResult }) {
  const { required, covered, missing } = garment.coverage;
  if (required.length === 0) return <p>The profile asks for no views of this garment.</p>;
  return (
    <div class="scroll">
      <table>
        <thead>
          <tr>
            <th scope="col">Asked for</th>
            <th scope="col">Best frame</th>
          </tr>
        </thead>
        <tbody>
          {required.map((view) => (
            <tr key={view}>
              <th scope="row">{view}</th>
              <td>
                {covered[view] ?? (missing.includes(view) ? <strong class="reshoot">missing</strong> : '')}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function Colour({ garment }: { garment: GarmentResult }) {
  const { reference, frames } = garment.drift;
  if (reference === null || frames.length === 0) {
    return <p>Too few frames could be compared to tell whether the colour of this set holds.</p>;
  }
  const limit = garment.findings.find(
    ({ check, unit }) => check === 'colour-drift' && unit === 'mired',
  )?.limit;
  return (
    <figure>
      <div class="scroll">
        <DriftPlot drift={garment.drift} limitMired={typeof limit === 'number' ? limit : null} />
      </div>
      <figcaption>
        Each frame against the set’s reference ({figure(reference.cctK)} K, Duv {reference.duv.toFixed(4)});
        bars show twice the standard uncertainty.
      </figcaption>
    </figure>
  );
}

/** The garment's report: verdict and findings of the set, coverage, colour, and one section a frame. */
export function garmentPage(garment: GarmentResult, results: Results): string {
  const frames = results.frames.filter((frame) => frame.garment === garment.id);
  const passing = frames.filter(({ verdict }) => verdict === 'pass').length;
  return renderPage({
    title: `${garment.id} · garment report`,
    root: '../',
    children: (
      <>
        <header class="top">
          <p>
            <a href="../index.html">All garments</a>
          </p>
          <h1>{garment.id}</h1>
          <p>
            <Verdict is={garment.verdict} /> {garmentAdvice[garment.verdict]} {passing} of{' '}
            {count(frames.length, 'frame')} pass.
          </p>
        </header>
        <main>
          {garment.findings.length > 0 && (
            <section>
              <h2>The set</h2>
              <Findings findings={garment.findings} numbered={[]} />
            </section>
          )}
          <section>
            <h2>Frames</h2>
            <ContactSheet frames={frames} />
          </section>
          <section>
            <h2>Views and crops</h2>
            <Views garment={garment} />
          </section>
          <section>
            <h2>Colour of the set</h2>
            <Colour garment={garment} />
          </section>
          <section>
            <h2>Frame by frame</h2>
            {frames.map((frame, index) => (
              <FrameSection key={frame.id} frame={frame} anchor={anchor(index)} />
            ))}
          </section>
        </main>
      </>
    ),
  });
}
