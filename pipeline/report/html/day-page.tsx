import { type Day, plan, planMin } from '../../contracts/day.ts';
import type { Results } from '../../contracts/results.ts';
import { count, figure, settingWords, share } from '../words.ts';
import { renderPage } from './page.tsx';
import { Scroll, Table } from './parts.tsx';
import { TimeLine } from './time-line.tsx';

const clock = (text: string): string => text.slice(11, 16);
const minutes = (value: number | null): string => (value === null ? '–' : `${figure(value)} min`);
const signed = (value: number | null): string =>
  value === null ? '–' : `${value > 0 ? '+' : ''}${figure(value)} min`;

/** `+ 3 h 02 min`, `- 14 s`. */
function shiftWords(seconds: number): string {
  if (seconds === 0) return 'none';
  const size = Math.abs(seconds);
  const [h, m, s] = [Math.floor(size / 3600), Math.floor((size % 3600) / 60), Math.round(size % 60)];
  const parts = [h > 0 && `${h} h`, m > 0 && `${m} min`, s > 0 && `${s} s`].filter((part) => part !== false);
  return `${seconds > 0 ? '+' : '−'}${parts.join(' ')}`;
}

function Bodies({ day }: { day: Day }) {
  return (
    <Scroll label="Camera bodies">
      <Table
        head={['Body', 'Frames', 'With flash', 'Natural light', 'Clock moved by']}
        rows={day.bodies.map(({ id, frames, flash, natural, clockShiftS }) => [
          id,
          frames,
          flash,
          natural,
          shiftWords(clockShiftS),
        ])}
      />
    </Scroll>
  );
}

/** Where the day went, in one sentence each. */
function timeWords({ garments }: Day): readonly string[] {
  const shootMin = garments.reduce((sum, garment) => sum + garment.shootMin, 0);
  const gaps = garments.flatMap(({ garment, gapMin }) => (gapMin === null ? [] : [{ garment, gapMin }]));
  const gapMin = gaps.reduce((sum, gap) => sum + gap.gapMin, 0);
  const longest = gaps.reduce<(typeof gaps)[number] | null>(
    (most, gap) => (most === null || gap.gapMin > most.gapMin ? gap : most),
    null,
  );
  const over = garments.filter(({ overPlanMin }) => (overPlanMin ?? 0) > 0);
  return [
    `Shooting took ${figure(shootMin)} min, changing and moving ${figure(gapMin)} min.`,
    `Planned are ${planMin} min a garment: ${plan.changeMin} to change, ${plan.shootMin} to shoot, ${plan.moveMin} to move (${plan.source}).`,
    `${over.length} of ${count(garments.length, 'garment')} took longer.`,
    ...(longest === null
      ? []
      : [`The longest gap, ${figure(longest.gapMin)} min, was before ${longest.garment}.`]),
  ];
}

function Settings({ day }: { day: Day }) {
  if (day.settings.length === 0)
    return (
      <p>
        No setting of the camera went with a fault more often than chance allows, or there were too few frames
        to tell.
      </p>
    );
  return (
    <>
      {day.settings.map((fault) => (
        <section key={`${fault.setting} ${fault.check}`}>
          <h3>{settingWords(fault)}</h3>
          <Scroll label={`${fault.check} by ${fault.setting}`}>
            <Table
              head={[fault.setting, 'frames', 'with it', 'share', '95 % interval']}
              rows={fault.rows.map(({ value, failures, trials, low, high }) => [
                value,
                trials,
                failures,
                share(failures / trials),
                `${share(low)} to ${share(high)}`,
              ])}
            />
          </Scroll>
        </section>
      ))}
      <p class="quiet">
        Intervals by Wilson’s method. What went together need not be the cause: look at the frames before
        changing a habit.
      </p>
    </>
  );
}

/** The shoot day: time line, bodies, where time went, and which settings went with which faults. */
export function dayPage(results: Results): string {
  const { day } = results;
  return renderPage({
    title: 'The day',
    root: '',
    children: (
      <>
        <header class="top">
          <p>
            <a href="index.html">All garments</a> · <a href="camera-card.html">Camera card for tomorrow</a>
          </p>
          <h1>The day</h1>
          {day.untimed > 0 && (
            <p>
              {count(day.untimed, 'frame')} without a capture time {day.untimed === 1 ? 'is' : 'are'} not
              shown here.
            </p>
          )}
        </header>
        <main>
          {day.garments.length === 0 ? (
            <p>No frame carries its capture time, so there is no time line.</p>
          ) : (
            <>
              <section>
                <h2>Time line</h2>
                <figure>
                  <Scroll label="Time line">
                    <TimeLine day={day} />
                  </Scroll>
                  <figcaption>
                    A mark for each frame: above the line {day.bodies[0]?.id}
                    {day.bodies.slice(1).map(({ id }) => `, below ${id}`)}. Behind it, the {planMin} planned
                    minutes.
                  </figcaption>
                </figure>
              </section>
              <section>
                <h2>Where time went</h2>
                <ul class="plain">
                  {timeWords(day).map((sentence) => (
                    <li key={sentence}>{sentence}</li>
                  ))}
                </ul>
                <Scroll label="Garments by time">
                  <Table
                    head={['Garment', 'From', 'To', 'Frames', 'Gap before', 'Shooting', 'Against the plan']}
                    rows={day.garments.map((garment) => [
                      garment.garment,
                      clock(garment.from),
                      clock(garment.to),
                      garment.frames,
                      minutes(garment.gapMin),
                      minutes(garment.shootMin),
                      signed(garment.overPlanMin),
                    ])}
                  />
                </Scroll>
              </section>
            </>
          )}
          <section>
            <h2>Bodies</h2>
            <Bodies day={day} />
          </section>
          <section>
            <h2>Settings and faults</h2>
            <Settings day={day} />
          </section>
        </main>
      </>
    ),
  });
}
