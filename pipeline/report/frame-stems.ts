import type { FrameResult } from '../contracts/results.ts';

/**
 * What the files of a frame are called in a folder that mirrors the delivery's: frame id to a path without ending. The frame's own
 * without its ending, and with it where two frames of a folder differ in the ending alone; unique without regard to case.
 */
export function frameStems(frames: readonly Pick<FrameResult, 'id'>[]): ReadonlyMap<string, string> {
  const stem = (id: string): string => id.replace(/\.[^./]*$/, '');
  const uses = new Map<string, number>();
  for (const { id } of frames) {
    const key = stem(id).toLowerCase();
    uses.set(key, (uses.get(key) ?? 0) + 1);
  }
  const stems = new Map<string, string>();
  const taken = new Set<string>();
  for (const { id } of frames) {
    const base = uses.get(stem(id).toLowerCase()) === 1 ? stem(id) : id;
    let name = base;
    // On a disk that ignores case two frames may still meet.
    for (let n = 2; taken.has(name.toLowerCase()); n += 1) name = `${base}-${n}`;
    taken.add(name.toLowerCase());
    stems.set(id, name);
  }
  return stems;
}
