import type { Box } from '../../contracts/box.ts';
import type { Finding } from '../../contracts/finding.ts';
import type { Measurement } from '../../contracts/measurement/measurement.ts';

function Outline({ box, aspect, dashed = false }: { box: Box; aspect: number; dashed?: boolean }) {
  const place = {
    x: box[0] * 100,
    y: box[1] * 100 * aspect,
    width: box[2] * 100,
    height: box[3] * 100 * aspect,
  };
  return (
    <>
      <rect {...place} class="casing" />
      <rect {...place} class={dashed ? 'dashed' : 'line'} />
    </>
  );
}

const same = (a: Box, b: Box): boolean => a.every((side, index) => side === b[index]);

/**
 * What was found, drawn over the whole frame: the subject in a full line, people in the background and places of findings
 * dashed, these with their number from the list.
 */
export function Overlay({
  measurement,
  numbered,
}: {
  measurement: Measurement;
  numbered: readonly Finding[];
}) {
  const { width, height } = measurement.file;
  const aspect = height / width;
  const places = numbered.flatMap(({ region }) => (region ? [region] : []));
  const unnumbered = measurement.people.background.filter(
    ({ box }) => !places.some((place) => same(place, box)),
  );
  return (
    <svg viewBox={`0 0 100 ${100 * aspect}`} preserveAspectRatio="none" aria-hidden="true">
      {measurement.people.subjects.map(({ box }, index) => (
        <Outline key={index} box={box} aspect={aspect} />
      ))}
      {unnumbered.map(({ box }, index) => (
        <Outline key={index} box={box} aspect={aspect} dashed />
      ))}
      {places.map((place, index) => (
        <g key={index}>
          <Outline box={place} aspect={aspect} dashed />
          <g transform={`translate(${place[0] * 100} ${place[1] * 100 * aspect})`}>
            <rect width="6" height="6" class="tag" />
            <text x="3" y="4.5" font-size="4.4" text-anchor="middle">
              {index + 1}
            </text>
          </g>
        </g>
      ))}
    </svg>
  );
}
