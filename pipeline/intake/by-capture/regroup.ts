import { cleanText } from '../../contracts/clean-text.ts';
import type { Delivery } from '../../contracts/delivery.ts';
import type { Measurement } from '../../contracts/measurement/measurement.ts';
import { bodyOf, wallClockMs } from '../../contracts/wall-clock.ts';
import type { ClockShift, ClockSource } from './clocks.ts';
import { groupShots } from './group-shots.ts';
import type { Shot } from './shots.ts';

/**
 * A code smaller than this share of the frame may be a shop sign or the garment's own label beside a model: it does not make the
 * frame a picture of a tag. A tag of 5 cm held for the camera covers several per cent.
 */
const smallestTagShare = 0.005;

interface Regrouped {
  readonly delivery: Delivery;
  readonly clocks: readonly ClockShift[];
}

function shotOf(id: string, measurement: Measurement | undefined): Shot {
  if (measurement === undefined) return { id, body: 'unknown body', ms: null, tag: null };
  const { capture, tag, people } = measurement;
  const isTag = tag && (people.subjects.length === 0 || tag.shareOfFrame >= smallestTagShare);
  return { id, body: bodyOf(capture), ms: wallClockMs(capture.takenAt), tag: isTag ? tag.text : null };
}

const some = (n: number, noun: string): string => `${n} ${noun}${n === 1 ? '' : 's'}`;

/** `3 h 2 min 5 s`. */
function duration(ms: number): string {
  const s = Math.round(Math.abs(ms) / 1000);
  const parts = [
    [Math.floor(s / 3600), 'h'],
    [Math.floor((s % 3600) / 60), 'min'],
    [s % 60, 's'],
  ] as const;
  return (
    parts
      .filter(([n]) => n > 0)
      .map(([n, unit]) => `${n} ${unit}`)
      .join(' ') || '0 s'
  );
}

const sources: Readonly<Record<ClockSource, string>> = {
  reference: '',
  given: 'as the command says',
  tags: 'found from tags that both bodies photographed',
  interleaving: 'found from when both bodies were busy',
  unknown: '',
};

function clockRemark({ body, shiftMs, from }: ClockShift): readonly string[] {
  if (from === 'reference') return [];
  if (from === 'unknown')
    return [
      `How far the clock of ${body} is off could not be found; it was taken as right. If it is not, say so with --clock "${body}=-1:00:00".`,
    ];
  if (Math.abs(shiftMs) < 1000) return [];
  return [
    `The clock of ${body} was put ${shiftMs > 0 ? 'forward' : 'back'} by ${duration(shiftMs)}, ${sources[from]}.`,
  ];
}

/**
 * A delivery straight from the cards, grouped anew by photographed tags and capture times; any other as it is.
 * @param measured frame id to its measurement; frames without one are placed by their names.
 * @param given body to clock shift, ms, where a person says it.
 */
export function regroup(
  delivery: Delivery,
  measured: ReadonlyMap<string, Measurement>,
  given: ReadonlyMap<string, number> = new Map(),
): Regrouped {
  if (delivery.grouping !== 'capture') return { delivery, clocks: [] };
  const shots = delivery.frames.map(({ id }) => shotOf(id, measured.get(id)));
  const { garments, tags, clocks } = groupShots(shots, given);
  if (!shots.some(({ ms }) => ms !== null)) {
    const remark = `The frames lie together under the camera's own names and carry no capture time, so they stay as they are. Put each garment into a folder of its own, or name them in a sheet with --garments.`;
    return { delivery: { ...delivery, remarks: [...delivery.remarks, remark] }, clocks: [] };
  }
  const garmentOf = new Map(garments.flatMap(({ id, frames }) => frames.map((frame) => [frame, id])));
  const named = garments.filter(({ id }) => shots.some(({ tag }) => tag === id)).length;
  const remarks = [
    `The frames lie together under the camera's own names: ${some(garments.length, 'garment')} were told apart, ${named} by photographed tags, the others by the gaps in capture time.`,
    ...(tags.length === 0
      ? []
      : [
          `${some(tags.length, 'frame')} ${tags.length === 1 ? 'shows a tag and is' : 'show tags and are'} not delivered.`,
        ]),
    ...clocks.flatMap(clockRemark),
    ...garments.flatMap(({ id, unsure }) =>
      unsure === null ? [] : [`Not sure about "${cleanText(id, 80)}": ${unsure}.`],
    ),
  ];
  return {
    delivery: {
      ...delivery,
      garments: garments.map(({ id, frames }) => ({ id, frames: [...frames], required: null, columns: {} })),
      frames: delivery.frames.flatMap((frame) => {
        const garment = garmentOf.get(frame.id);
        return garment === undefined ? [] : [{ ...frame, garment }];
      }),
      remarks: [...delivery.remarks, ...remarks],
    },
    clocks,
  };
}
