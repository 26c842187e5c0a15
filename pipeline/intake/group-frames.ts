/** Frames into garments without a sheet: by first-level folder, and by the start of the file name where there is none. */

/** What may follow the garment in a file name besides a number: a single letter, or what the frame shows. */
const shown =
  /^(?:[a-z]|front|back|side|left|right|detail|close|closeup|full|waist|knee|three-quarter|34|hero|alt|main)$/i;

export interface Group {
  /** Name as it first appears. */
  readonly id: string;
  readonly frames: readonly string[];
}

/**
 * The garment of a frame that lies in no folder: the text before the last `-`, `_`, `.`, blank or bracket, where a
 * counter, a single letter or a view follows it (`dress-12_03`, `dress-12 (3)`, `dress-12_back`); otherwise the
 * name without the digits at its end (`DSC00012`). Empty where the name is a counter alone.
 */
export function prefixOf(fileName: string): string {
  const stem = fileName.replace(/\.[^.]*$/, '');
  const parted = /^(.*?)[-_. ([]+([^-_. ()[\]]+)[)\]]?$/s.exec(stem);
  const ending = parted?.[2] ?? '';
  if (parted !== null && (/^\d+$/.test(ending) || shown.test(ending))) return parted[1]!.trim();
  return stem.replace(/\d+$/, '').trim();
}

/**
 * @param frames paths inside the delivery, in the order of the documents.
 * @param deliveryName what a garment is called whose frames have nothing but a counter for a name.
 */
export function groupFrames(frames: readonly string[], deliveryName: string): readonly Group[] {
  const groups = new Map<string, { id: string; frames: string[] }>();
  for (const frame of frames) {
    const cut = frame.indexOf('/');
    const name = cut === -1 ? prefixOf(frame) : frame.slice(0, cut);
    const id = name === '' ? deliveryName : name;
    // Upper and lower case, and composed and decomposed letters, are one garment.
    const key = id.normalize('NFC').toLowerCase();
    const group = groups.get(key) ?? { id, frames: [] };
    group.frames.push(frame);
    groups.set(key, group);
  }
  return [...groups.values()];
}
