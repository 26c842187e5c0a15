import type { Capture } from '../../contracts/measurement/file.ts';
import type { FrameResult, Results } from '../../contracts/results.ts';
import { totals } from '../store-rows.ts';
import { count, exposureTime, figure, settingAdvice, settingWords } from '../words.ts';
import { renderPage } from './page.tsx';
import { Scroll, Table } from './parts.tsx';

/** As many lines as one page holds in a size that is read at arm's length. */
const mostFaults = 6;
const mostSettings = 5;

/** The value in the middle of what was used, one that really was: no half stops between two frames. */
function middle(values: readonly (number | null)[]): number | null {
  const known = values.filter((value) => value !== null).sort((a, b) => a - b);
  return known[Math.floor((known.length - 1) / 2)] ?? null;
}

function settingsOf(name: string, captures: readonly Capture[]): readonly string[] | null {
  if (captures.length === 0) return null;
  const [f, s, iso, mm] = (['fNumber', 'exposureTimeS', 'iso', 'focalLengthMm'] as const).map((key) =>
    middle(captures.map((capture) => capture[key])),
  );
  return [
    name,
    f ? `f/${figure(f)}` : '–',
    s ? exposureTime(s) : '–',
    iso ? String(iso) : '–',
    mm ? `${figure(mm)} mm` : '–',
    String(captures.length),
  ];
}

/** What passed was taken with: with flash, in natural light. */
function whatWorked(frames: readonly FrameResult[]): readonly (readonly string[])[] {
  const captures = frames.flatMap(({ verdict, measurement }) =>
    verdict === 'pass' && measurement ? [measurement.capture] : [],
  );
  return [
    settingsOf(
      'natural light',
      captures.filter(({ flashFired }) => flashFired === false),
    ),
    settingsOf(
      'flash',
      captures.filter(({ flashFired }) => flashFired === true),
    ),
  ].filter((row) => row !== null);
}

/** One page to hang beside the camera: what to change, what to watch for, what worked. */
export function cameraCard(results: Results): string {
  const faults = totals(results).faults.filter(({ frames }) => frames > 0);
  const worked = whatWorked(results.frames);
  const { settings } = results.day;
  return renderPage({
    title: 'Camera card',
    root: '',
    children: (
      <>
        <header class="top">
          <p class="screen-only">
            <a href="index.html">All garments</a> · <a href="day.html">The day</a>
          </p>
          <h1>Camera card for tomorrow</h1>
        </header>
        <main class="card-page">
          <section>
            <h2>Change</h2>
            {settings.length === 0 ? (
              <p>Today’s frames give no clear reason to change a setting.</p>
            ) : (
              <ul class="plain">
                {settings.slice(0, mostSettings).map((fault) => (
                  <li key={`${fault.setting} ${fault.check}`}>
                    <strong>{settingAdvice(fault)}</strong> {settingWords(fault)}
                  </li>
                ))}
              </ul>
            )}
          </section>
          <section>
            <h2>Watch for</h2>
            {faults.length === 0 ? (
              <p>No frame had a fault.</p>
            ) : (
              <ul class="plain">
                {[...faults]
                  .sort((a, b) => b.frames - a.frames)
                  .slice(0, mostFaults)
                  .map(({ what, frames }) => (
                    <li key={what}>
                      {what}: {count(frames, 'frame')} of {results.frames.length}
                    </li>
                  ))}
              </ul>
            )}
          </section>
          <section>
            <h2>What worked</h2>
            {worked.length === 0 ? (
              <p>No frame that passes says how it was taken.</p>
            ) : (
              <>
                <p>The middle of what was used on frames that pass.</p>
                <Scroll label="What worked">
                  <Table head={['Light', 'Aperture', 'Exposure', 'ISO', 'Lens', 'Frames']} rows={worked} />
                </Scroll>
              </>
            )}
          </section>
        </main>
      </>
    ),
  });
}
