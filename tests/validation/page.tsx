/** `measurement-validation.html`: every sweep as a row of a table and as a plot. One file, no scripts, nothing loaded. */
import type { ComponentChildren } from 'preact';
import { renderToString } from 'preact-render-to-string';
import { Scroll, Table } from '../../pipeline/report/html/parts.tsx';
import { pageStyle } from './page-style.ts';
import { Plot } from './plot.tsx';
import { holds, type Sweep } from './sweep.ts';
import { verdict, worstCase, worstError } from './words.ts';

function Result({ sweep }: { sweep: Sweep }) {
  return <strong class={sweep.points.every(holds) ? 'holds' : 'fails'}>{verdict(sweep)}</strong>;
}

function Summary({ sweeps }: { sweeps: readonly Sweep[] }) {
  return (
    <Scroll label="Summary">
      <Table
        head={['quantity', 'result', 'worst error', 'limit', 'range', 'points', 'source']}
        rows={sweeps.map((sweep) => [
          <a key={sweep.id} href={`#${sweep.id}`}>
            {sweep.quantity}
          </a>,
          <Result key={sweep.id} sweep={sweep} />,
          worstError(sweep),
          sweep.limitText,
          sweep.range,
          sweep.points.length,
          sweep.source,
        ])}
      />
    </Scroll>
  );
}

const key: readonly (readonly [meaning: string, drawing: ComponentChildren])[] = [
  ['within the limits', <path key="dots" class="dots" d="M13 8h0" />],
  ['outside, or no number', <path key="outside" class="outside" d="M9 4l8 8m0-8l-8 8" />],
  ['worst for its limit', <circle key="worst" class="worst" cx="13" cy="8" r="7" />],
  [
    'allowed, between its limits',
    <>
      <rect class="allowed" x="1" y="2" width="24" height="12" />
      <path class="limit" d="M1 2h24M1 14h24" />
    </>,
  ],
  ['true', <path key="truth" class="truth" d="M1 8h24" />],
];

function Key() {
  return (
    <ul class="key">
      {key.map(([meaning, drawing]) => (
        <li key={meaning}>
          <svg viewBox="0 0 26 16" aria-hidden="true">
            {drawing}
          </svg>{' '}
          {meaning}
        </li>
      ))}
    </ul>
  );
}

function Section({ sweep }: { sweep: Sweep }) {
  return (
    <section id={sweep.id}>
      <h2>{sweep.quantity}</h2>
      <p>
        Result: <Result sweep={sweep} />. Limit: {sweep.limitText}. Worst error:{' '}
        {[worstError(sweep), worstCase(sweep)].filter((words) => words !== '').join(', ')}.
      </p>
      <Plot sweep={sweep} />
      <p class="quiet">
        Range: {sweep.range}. Truth: {sweep.source}.
      </p>
    </section>
  );
}

/** @param photographs folder of the labelled photographs that were measured; `null` where none were */
export function validationPage(sweeps: readonly Sweep[], photographs: string | null): string {
  const failing = sweeps.filter(({ points }) => !points.every(holds)).length;
  const html = renderToString(
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <meta
          http-equiv="Content-Security-Policy"
          content="default-src 'none'; style-src 'unsafe-inline'; img-src data:"
        />
        <title>Measurement validation</title>
        <style dangerouslySetInnerHTML={{ __html: pageStyle }} />
      </head>
      <body>
        <main>
          <h1>Measurement validation</h1>
          <p>
            What the measurements say against what is known to be true.{' '}
            {failing === 0
              ? `All ${sweeps.length} limits hold.`
              : `${failing} of ${sweeps.length} limits do not hold.`}
          </p>
          <p class="quiet">
            {photographs === null
              ? 'No labelled photographs were given (--photos), so what is measured on them is missing here.'
              : `Labelled photographs: ${photographs}, even and odd numbers apart.`}
          </p>
          <Summary sweeps={sweeps} />
          <Key />
          {sweeps.map((sweep) => (
            <Section key={sweep.id} sweep={sweep} />
          ))}
        </main>
      </body>
    </html>,
  );
  return `<!doctype html>\n${html}\n`;
}
