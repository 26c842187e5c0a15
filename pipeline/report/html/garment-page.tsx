import { frameVerdicts } from '../../contracts/finding.ts';
import type { FrameResult, GarmentResult, Results } from '../../contracts/results.ts';
import { picturesFolder, smallest } from '../links.ts';
import { count, figure, garmentAdvice } from '../words.ts';
import { DriftPlot } from './drift-plot.tsx';
import { Findings } from './findings.tsx';
import { FrameSection } from './frame-section.tsx';
import { renderPage, Verdict } from './page.tsx';
import { Filter, Scroll, Table } from './parts.tsx';
import { sharpestParts } from './sharpest-parts.ts';

/** Frames named besides the best; the rest are in the results. */
const mostRunnersUp = 3;

const anchor = (index: number): string => `frame-${index + 1}`;

function ContactSheet({ frames }: { frames: readonly FrameResult[] }) {
  return (
    <ul class="contact" data-list>
      {frames.map((frame, index) => {
        const picture = frame.measurement && smallest(frame.measurement.pictures);
        return (
          <li key={frame.id} data-verdict={frame.verdict}>
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

function FrameLink({ id, frames }: { id: string; frames: readonly FrameResult[] }) {
  return <a href={`#${anchor(frames.findIndex((frame) => frame.id === id))}`}>{id.split('/').at(-1)}</a>;
}

function Views({ garment, frames }: { garment: GarmentResult; frames: readonly FrameResult[] }) {
  const { required, covered, ranked, becauseMissing } = garment.coverage;
  if (required.length === 0) return <p>The profile asks for no views of this garment.</p>;
  return (
    <Scroll label="Views and crops" kind="views">
      <Table
        head={['Asked for', 'Best frame', 'Why', 'Also possible']}
        rows={required.map((view) => {
          const all = ranked?.[view] ?? [];
          const best = covered[view];
          return [
            view,
            best === undefined ? (
              <strong class="reshoot">missing</strong>
            ) : (
              <FrameLink id={best} frames={frames} />
            ),
            all.find(({ frame }) => frame === best)?.because ?? becauseMissing?.[view] ?? '',
            all
              .filter(({ frame }) => frame !== best)
              .slice(0, mostRunnersUp)
              .map(({ frame, because }) => (
                <div key={frame}>
                  <FrameLink id={frame} frames={frames} />: {because}
                </div>
              )),
          ];
        })}
      />
    </Scroll>
  );
}

/** The mired limit in force, whether or not a frame is beyond it. */
function driftLimit({ profile }: Results): number | null {
  const levels = profile.checks['colour-drift']?.limits.mired;
  return levels?.cleanup?.value ?? levels?.reject?.value ?? null;
}

const evidenceNames = {
  'neutral-card': 'a neutral card in one of the frames',
  garment: 'the cloth',
  skin: 'skin: a rough guide',
  scene: 'the scene: a rough guide',
} as const;

function Colour({ garment, results }: { garment: GarmentResult; results: Results }) {
  const { reference, frames } = garment.drift;
  if (reference === null || frames.length === 0) {
    return <p>Too few frames could be compared to tell whether the colour of this set holds.</p>;
  }
  return (
    <figure>
      <Scroll label="Colour drift">
        <DriftPlot drift={garment.drift} limitMired={driftLimit(results)} />
      </Scroll>
      <figcaption>
        Each frame against{' '}
        {frames.some(({ among }) => among !== 'all') ? 'the frames of its own light' : 'its set'}, by the
        colours that they share; bars show twice the standard uncertainty, and a frame counts as beyond the
        limit only where its whole bar is. The set itself reads {figure(reference.cctK)} K, Duv{' '}
        {reference.duv.toFixed(4)} (from {evidenceNames[reference.evidence]}).
      </figcaption>
    </figure>
  );
}

/** Frames that look alike, group by group, with the one to keep in words. */
function NearDuplicates({ garment, frames }: { garment: GarmentResult; frames: readonly FrameResult[] }) {
  const groups = garment.findings.filter(({ check }) => check === 'near-duplicate');
  if (groups.length === 0) return null;
  return (
    <section>
      <h2>Near-duplicates</h2>
      {groups.map((group, index) => (
        <figure key={index}>
          <div class="strip">
            {frames
              .filter(({ id }) => group.frames?.includes(id))
              .map(({ id, measurement }) => {
                const picture = measurement && smallest(measurement.pictures);
                return measurement && picture ? (
                  <img
                    key={id}
                    src={`../${picturesFolder(measurement.contentHash)}/${picture.file}`}
                    width={picture.width}
                    height={picture.height}
                    alt={id.split('/').at(-1) ?? id}
                    loading="lazy"
                  />
                ) : null;
              })}
          </div>
          <figcaption>{group.detail}</figcaption>
        </figure>
      ))}
    </section>
  );
}

/** The garment's report: verdict and findings of the set, coverage, colour, and one section a frame. */
export function garmentPage(garment: GarmentResult, results: Results): string {
  const frames = results.frames.filter((frame) => frame.garment === garment.id);
  const best = sharpestParts(frames);
  const verdicts = frameVerdicts.filter((verdict) => frames.some((frame) => frame.verdict === verdict));
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
          <section id="frames">
            <h2>Frames</h2>
            <Filter verdicts={verdicts} />
            <ContactSheet frames={frames} />
          </section>
          {garment.findings.length > 0 && (
            <section>
              <h2>The set</h2>
              <Findings findings={garment.findings} numbered={[]} wide />
            </section>
          )}
          <NearDuplicates garment={garment} frames={frames} />
          <section>
            <h2>Views and crops</h2>
            <Views garment={garment} frames={frames} />
          </section>
          <section>
            <h2>Colour of the set</h2>
            <Colour garment={garment} results={results} />
          </section>
          <section>
            <h2>Frame by frame</h2>
            {frames.map((frame, index) => (
              <FrameSection key={frame.id} frame={frame} anchor={anchor(index)} best={best} />
            ))}
          </section>
        </main>
      </>
    ),
  });
}
