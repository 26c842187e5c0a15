import type { Box } from '../../contracts/box.ts';
import type { Finding } from '../../contracts/finding.ts';
import type { Measurement } from '../../contracts/measurement/measurement.ts';

function Outline({ box, aspect, colour, dash }: { box: Box; aspect: number; colour: string; dash?: string }) {
  return (
    <rect
      x={box[0] * 100}
      y={box[1] * 100 * aspect}
      width={box[2] * 100}
      height={box[3] * 100 * aspect}
      fill="none"
      stroke={`var(--${colour})`}
      stroke-width="0.7"
      {...(dash === undefined ? {} : { 'stroke-dasharray': dash })}
    />
  );
}

/**
 * What was found, drawn over the whole frame: the subject in a full line, people in the background dashed, and the findings
 * that have a place with their number from the list.
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
  return (
    <svg viewBox={`0 0 100 ${100 * aspect}`} preserveAspectRatio="none" aria-hidden="true">
      {measurement.people.subjects.map(({ box }, index) => (
        <Outline key={index} box={box} aspect={aspect} colour="subject" />
      ))}
      {measurement.people.background.map(({ box }, index) => (
        <Outline key={index} box={box} aspect={aspect} colour="background" dash="2 1.2" />
      ))}
      {numbered.map(({ region }, index) =>
        region ? (
          <g key={index} transform={`translate(${region[0] * 100} ${region[1] * 100 * aspect})`}>
            <rect width="6" height="6" fill="var(--card)" stroke="var(--background)" stroke-width="0.5" />
            <text x="3" y="4.4" font-size="4.4" text-anchor="middle" fill="var(--ink)">
              {index + 1}
            </text>
          </g>
        ) : null,
      )}
    </svg>
  );
}
