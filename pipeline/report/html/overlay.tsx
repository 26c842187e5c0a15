import { type Box, sameBox } from '../../contracts/box.ts';
import type { Finding } from '../../contracts/finding.ts';
import type { Measurement } from '../../contracts/measurement/measurement.ts';

/** Side of the square that holds a number, in hundredths of the frame's width. */
const tagSide = 6;

type Kind = 'line' | 'dashed';

function Outline({ box, aspect, kind }: { box: Box; aspect: number; kind: Kind }) {
  const place = {
    x: box[0] * 100,
    y: box[1] * 100 * aspect,
    width: box[2] * 100,
    height: box[3] * 100 * aspect,
  };
  return (
    <>
      <rect {...place} class="casing" />
      <rect {...place} class={kind} />
    </>
  );
}

interface Tag {
  readonly x: number;
  readonly y: number;
}

/** At the upper left corner of each place, pushed to the right where another number stands already, and kept inside the frame. */
function tagsOf(places: readonly Box[], aspect: number): readonly Tag[] {
  const tags: Tag[] = [];
  const taken = (x: number, y: number): boolean =>
    tags.some((tag) => Math.abs(tag.x - x) < tagSide && Math.abs(tag.y - y) < tagSide);
  for (const [left, top] of places) {
    const y = Math.min(Math.max(0, top * 100 * aspect), 100 * aspect - tagSide);
    let x = Math.min(Math.max(0, left * 100), 100 - tagSide);
    while (taken(x, y) && x + 2 * tagSide <= 100) x += tagSide;
    tags.push({ x, y });
  }
  return tags;
}

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
  const { subjects, background } = measurement.people;
  const places = numbered.flatMap(({ region }) => (region ? [region] : []));
  const isSubject = (place: Box): boolean => subjects.some(({ box }) => sameBox(place, box));
  const dashed = [
    ...background.map(({ box }) => box).filter((box) => !places.some((place) => sameBox(place, box))),
    ...places.filter((place) => !isSubject(place)),
  ];
  return (
    <svg viewBox={`0 0 100 ${100 * aspect}`} preserveAspectRatio="none" aria-hidden="true">
      {subjects.map(({ box }, index) => (
        <Outline key={index} box={box} aspect={aspect} kind="line" />
      ))}
      {dashed.map((box, index) => (
        <Outline key={index} box={box} aspect={aspect} kind="dashed" />
      ))}
      {tagsOf(places, aspect).map(({ x, y }, index) => (
        <g key={index} transform={`translate(${x} ${y})`}>
          <rect width={tagSide} height={tagSide} class="tag" />
          <text x={tagSide / 2} y="4.5" font-size="4.4" text-anchor="middle">
            {index + 1}
          </text>
        </g>
      ))}
    </svg>
  );
}
