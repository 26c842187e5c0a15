import { type BoxTuple, boxInPx } from '../numeric/boxes.ts';
import type { MeasuredFrame, Miss } from './figures.ts';
import type { LabelledFrame } from './labels.ts';

/**
 * The contact sheet: one HTML page with every frame that has a miss or a false alarm, labelled and measured boxes drawn over it.
 * It shows the photographs where they lie and copies none of them.
 */

const escapes: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};
const escaped = (text: string) => text.replace(/[&<>"']/g, (sign) => escapes[sign] ?? '');

const style = `
body{font:15px/1.4 system-ui,sans-serif;margin:1.5rem;background:#fff;color:#111}
.sheet{display:grid;grid-template-columns:repeat(auto-fill,minmax(17rem,1fr));gap:1.5rem}
figure{margin:0}svg{width:100%;height:auto;background:#ddd}figcaption{margin-top:.3rem}
ul{margin:.2rem 0 0;padding-left:1.2rem}rect{fill:none;vector-effect:non-scaling-stroke}
.labelled{stroke:#00d5ff;stroke-width:4}.found{stroke:#ffd400;stroke-width:2}
.unsure{stroke:#ffd400;stroke-width:2;stroke-dasharray:4 4}.subject{stroke:#fff;stroke-width:2}
.key span{display:inline-block;padding:0 .5rem;margin-right:.6rem;background:#333;color:#fff}
`;

const rectangle = (kind: string, [x, y, width, height]: BoxTuple) =>
  `<rect class="${kind}" x="${x}" y="${y}" width="${width}" height="${height}"/>`;

function figure(
  measured: MeasuredFrame,
  label: LabelledFrame,
  misses: readonly Miss[],
  source: (file: string) => string,
): string {
  const { width, height } = measured;
  const px = (box: BoxTuple): BoxTuple => boxInPx(box, measured);
  const drawn = [
    ...(label.boxes?.background ?? []).map((box) => rectangle('labelled', box)),
    ...measured.people.background.map(({ box, mayBe }) =>
      rectangle(mayBe === null ? 'found' : 'unsure', px(box)),
    ),
    ...measured.people.subjects.map(({ box }) => rectangle('subject', px(box))),
  ];
  const name = escaped(measured.file);
  return `<figure><svg viewBox="0 0 ${width} ${height}" role="img" aria-label="${name}">
<image href="${escaped(source(measured.file))}" width="${width}" height="${height}"/>${drawn.join('')}</svg>
<figcaption>${name}<ul>${misses.map(({ words }) => `<li>${escaped(words)}</li>`).join('')}</ul></figcaption></figure>`;
}

/**
 * @param source address of a photograph as seen from the page.
 * @returns a complete HTML page without script and without requests beyond the photographs.
 */
export function contactSheet(
  labels: readonly LabelledFrame[],
  measured: readonly MeasuredFrame[],
  misses: readonly Miss[],
  source: (file: string) => string,
): string {
  const figures = labels.flatMap((label) => {
    const own = misses.filter(({ file }) => file === label.file);
    const frame = measured.find(({ file }) => file === label.file);
    return own.length === 0 || frame === undefined ? [] : [figure(frame, label, own, source)];
  });
  return `<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Misses and false alarms</title>
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; img-src 'self' file: data:; style-src 'unsafe-inline'">
<meta name="viewport" content="width=device-width,initial-scale=1"><style>${style}</style></head><body><main>
<h1>Misses and false alarms</h1>
<p>${figures.length} of ${labels.length} frames differ from the labels. People may be recognisable here: keep this page where the photographs are kept.</p>
<p class="key"><span>thick blue: labelled background person</span><span>yellow: measured background person</span><span>yellow, broken: measured, perhaps something else</span><span>white: measured subject</span></p>
<div class="sheet">${figures.join('\n')}</div></main></body></html>
`;
}
