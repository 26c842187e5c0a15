/** A frame as grouping by capture sees it: nothing but when, by which body, and which tag it shows. */
export interface Shot {
  readonly id: string;
  /** Make, model and serial number; bodies are told apart by it. */
  readonly body: string;
  /** The body's wall clock, ms; `null` where the frame carries no time. */
  readonly ms: number | null;
  /** Text of the tag that was photographed to name a garment; `null` on all other frames. */
  readonly tag: string | null;
}

export type TimedShot = Shot & { readonly ms: number };

export const isTimed = (shot: Shot): shot is TimedShot => shot.ms !== null;

export const minuteMs = 60_000;

/** By time; frames of one moment stay in the order they came in. */
export function inTime<T extends { readonly ms: number }>(shots: readonly T[]): readonly T[] {
  return [...shots].sort((a, b) => a.ms - b.ms);
}

export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = (sorted.length - 1) / 2;
  return (sorted[Math.floor(middle)]! + sorted[Math.ceil(middle)]!) / 2;
}
