import type { GarmentVerdict } from '../../contracts/finding.ts';
import type { FrameResult, GarmentResult, Results } from '../../contracts/results.ts';
import { picturesFolder, smallest } from '../links.ts';
import { reasons } from '../store-rows.ts';
import { count, garmentAdvice } from '../words.ts';
import { renderPage, Verdict } from './page.tsx';
import { Filter } from './parts.tsx';

/** What needs a person first comes first. */
const urgency: readonly GarmentVerdict[] = ['reshoot', 'cleanup', 'pass'];

function Thumbnail({ frame }: { frame: FrameResult | undefined }) {
  const picture = frame?.measurement && smallest(frame.measurement.pictures);
  if (!frame?.measurement || !picture) return <span class="none">no picture</span>;
  return (
    <img
      src={`${picturesFolder(frame.measurement.contentHash)}/${picture.file}`}
      width={picture.width}
      height={picture.height}
      alt=""
      loading="lazy"
    />
  );
}

/** The frame that shows the garment best from the front, else the first that can be shown. */
function bestFrame({ coverage }: GarmentResult, frames: readonly FrameResult[]): FrameResult | undefined {
  const shown = frames.filter(({ measurement }) => measurement !== null);
  return shown.find(({ id }) => id === coverage.covered.front) ?? shown[0];
}

function Card({ garment, results, page }: { garment: GarmentResult; results: Results; page: string }) {
  const frames = results.frames.filter(({ garment: id }) => id === garment.id);
  const passing = frames.filter(({ verdict }) => verdict === 'pass').length;
  const why = reasons(garment, results);
  return (
    <li class="card" data-verdict={garment.verdict}>
      <Thumbnail frame={bestFrame(garment, frames)} />
      <div>
        <h3>
          <a href={`garments/${encodeURIComponent(page)}`}>{garment.id}</a>
        </h3>
        <Verdict is={garment.verdict} />
        <p class="quiet">
          {passing} of {count(frames.length, 'frame')} pass.
        </p>
        {why.length > 0 && (
          <ul>
            {why.slice(0, 4).map((reason) => (
              <li key={reason}>{reason}</li>
            ))}
            {why.length > 4 && <li>and {why.length - 4} more</li>}
          </ul>
        )}
      </div>
    </li>
  );
}

/** Documents for others; the lines before those for the photographer. */
function HandOver() {
  return (
    <>
      Hand over: retoucher’s list (<a href="retouch-list.xlsx">workbook</a>,{' '}
      <a href="retouch-list.csv">CSV</a>), store’s sheet (<a href="store-sheet.pdf">PDF</a>,{' '}
      <a href="store-sheet.xlsx">workbook</a>, <a href="store-sheet.csv">CSV</a>),{' '}
      <a href="results.json">all results as data</a>.
      <br />
    </>
  );
}

/**
 * The day: every garment with its verdict, what to do first at the top.
 * @param handOver whether the documents for others are there.
 */
export function indexPage(results: Results, pages: ReadonlyMap<string, string>, handOver: boolean): string {
  const groups = urgency
    .map((verdict) => ({
      verdict,
      garments: results.garments.filter((garment) => garment.verdict === verdict),
    }))
    .filter(({ garments }) => garments.length > 0);
  const unreadable = results.frames.filter(({ verdict }) => verdict === 'unreadable').length;
  return renderPage({
    title: 'Delivery report',
    root: '',
    children: (
      <>
        <header class="top">
          <h1>Delivery report</h1>
          <p>
            {count(results.garments.length, 'garment')}, {count(results.frames.length, 'frame')}, judged
            against the profile “{results.profile.name}”.
          </p>
          <ul class="tally">
            {groups.map(({ verdict, garments }) => (
              <li key={verdict}>
                <Verdict is={verdict} /> {count(garments.length, 'garment')}
              </li>
            ))}
            {unreadable > 0 && (
              <li>
                <Verdict is="unreadable" /> {count(unreadable, 'frame')}
              </li>
            )}
          </ul>
          <p>
            {handOver && <HandOver />}
            For the photographer: <a href="day.html">the day</a>,{' '}
            <a href="camera-card.html">camera card for tomorrow</a>.
          </p>
        </header>
        <main>
          <Filter verdicts={groups.map(({ verdict }) => verdict)} />
          {groups.length === 0 && <p>No frames were found in the delivery.</p>}
          {groups.map(({ verdict, garments }) => (
            <section key={verdict} data-group>
              <h2>
                <Verdict is={verdict} />
              </h2>
              <p>{garmentAdvice[verdict]}</p>
              <ul class="cards" data-list>
                {garments.map((garment) => (
                  <Card
                    key={garment.id}
                    garment={garment}
                    results={results}
                    page={pages.get(garment.id) ?? ''}
                  />
                ))}
              </ul>
            </section>
          ))}
          {results.remarks.length > 0 && (
            <section>
              <h2>About the delivery</h2>
              <ul class="plain">
                {results.remarks.map((remark) => (
                  <li key={remark}>{remark}</li>
                ))}
              </ul>
            </section>
          )}
          <section>
            <h2>The last word is yours</h2>
            <p>
              Whoever disagrees with a finding fills in its row of the decisions sheet beside the delivery:
              “accept” to deliver the frame as it is, “insist” to have a note mended, with name and reason.
              The next run judges by it and says so in every document.
            </p>
          </section>
          <p class="quiet">
            Nightrail {results.tool.version}, measurement version {results.tool.measurement}.
          </p>
        </main>
      </>
    ),
  });
}
