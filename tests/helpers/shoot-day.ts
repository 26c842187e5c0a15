import type { Shot } from '../../pipeline/intake/by-capture/shots.ts';

/** A simulated shoot day: garments of about fifteen minutes, two bodies, tags, clocks that differ. Seeded. */

/** Mulberry32 (public domain): 32-bit state, uniform in 0..1. */
export function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

export interface Day {
  readonly garments: number;
  readonly seed: number;
  /** What the second body's clock shows more than the first's, s. */
  readonly offsetS: number;
  /** Share of garments with a tag; each body photographs it. */
  readonly tagShare: number;
  /** Only the first body photographs tags. */
  readonly oneBodyTags?: boolean;
  /** Garments that one body alone shot, as a share. */
  readonly soloShare?: number;
}

export interface Truth {
  readonly shots: readonly Shot[];
  readonly garmentOf: ReadonlyMap<string, string>;
  readonly tagged: ReadonlySet<string>;
}

/** Changing and moving 7 to 14 min, shooting 3 to 7 min, 5 to 12 frames, now and then a pause of up to 2 min. */
export function shootDay({ garments, seed, offsetS, tagShare, oneBodyTags, soloShare = 0.15 }: Day): Truth {
  const random = seeded(seed);
  const between = (from: number, to: number): number => from + random() * (to - from);
  const shots: Shot[] = [];
  const garmentOf = new Map<string, string>();
  const tagged = new Set<string>();
  const counters: Record<string, number> = { A: 100, B: 4000 };
  let s = Date.UTC(2026, 4, 14, 9) / 1000;
  const take = (garment: string, body: 'A' | 'B', at: number, tag: string | null): void => {
    counters[body]! += 1;
    const id = `${body === 'A' ? 'IMG_' : 'DSC0'}${counters[body]}.JPG`;
    const clock = Math.round(at + (body === 'B' ? offsetS : 0));
    shots.push({ id, body, ms: clock * 1000, tag });
    if (tag === null) garmentOf.set(id, garment);
  };
  for (let n = 1; n <= garments; n += 1) {
    const garment = `STYLE-${1000 + 7 * n}`;
    const solo = random() < soloShare ? (random() < 0.5 ? 'A' : 'B') : null;
    const bodies = (solo === null ? ['A', 'B'] : [solo]) as ('A' | 'B')[];
    if (random() < tagShare) {
      const by = oneBodyTags ? (['A'] as const) : bodies;
      for (const [index, body] of by.entries()) take(garment, body, s + 12 * index, garment);
      tagged.add(garment);
      s += between(20, 40);
    }
    const frames = Math.round(between(5, 12));
    const length = between(3, 7) * 60;
    for (let f = 0; f < frames; f += 1) {
      take(garment, bodies[f < bodies.length ? f : Math.floor(random() * bodies.length)]!, s, null);
      s += (length / frames) * between(0.5, 1.5) + (random() < 0.05 ? between(30, 90) : 0);
    }
    s += between(7, 14) * 60;
  }
  // Files come in the order of names or of cards, never of time.
  return { shots: [...shots].sort(() => random() - 0.5), garmentOf, tagged };
}

/** Share of frames that lie in one group with the frames of their garment: the largest part of each garment counts, groups serve one garment. */
export function rightShare(
  groups: readonly { readonly id: string; readonly frames: readonly string[] }[],
  { garmentOf, tagged }: Truth,
  which: 'tagged' | 'all',
): number {
  let [right, all] = [0, 0];
  for (const { id, frames } of groups) {
    const counts = new Map<string, number>();
    for (const frame of frames) {
      const garment = garmentOf.get(frame)!;
      counts.set(garment, (counts.get(garment) ?? 0) + 1);
    }
    const owner = tagged.has(id) ? id : [...counts].sort((a, b) => b[1] - a[1])[0]?.[0];
    for (const [garment, n] of counts) {
      if (which === 'tagged' && !tagged.has(garment)) continue;
      all += n;
      // A tagged garment's frames are right only under its tag.
      const named = tagged.has(garment)
        ? id === garment
        : garment === owner && largest(groups, garmentOf, garment) === id;
      if (named) right += n;
    }
  }
  return right / all;
}

function largest(
  groups: readonly { readonly id: string; readonly frames: readonly string[] }[],
  garmentOf: ReadonlyMap<string, string>,
  garment: string,
): string | undefined {
  const sizes = groups.map(({ id, frames }) => ({
    id,
    n: frames.filter((frame) => garmentOf.get(frame) === garment).length,
  }));
  return sizes.sort((a, b) => b.n - a.n)[0]?.id;
}
