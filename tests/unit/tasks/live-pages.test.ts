import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { Delivery } from '../../../pipeline/contracts/delivery.ts';
import type { FrameOutcome } from '../../../pipeline/contracts/work.ts';
import { writeMeasured } from '../../../pipeline/store/measurement-store.ts';
import type { JudgeFacts } from '../../../pipeline/tasks/judge-run.ts';
import { createLivePages } from '../../../pipeline/tasks/live-pages.ts';
import { fakeMeasurement } from '../../helpers/fake-measurement.ts';
import { defaultProfile } from '../../helpers/profile.ts';
import { scratchFolder } from '../../helpers/scratch.ts';

/** Frame id to what its file holds. */
type Day = ReadonlyMap<string, string>;

function deliveryOf(day: Day): Delivery {
  const frames = [...day.keys()].map((id) => ({ id, garment: id.split('/')[0]!, path: `/${id}` }));
  const garments = [...new Set(frames.map(({ garment }) => garment))].map((id) => ({
    id,
    frames: frames.filter(({ garment }) => garment === id).map((frame) => frame.id),
    required: null,
    columns: {},
  }));
  return { root: '/', garments, frames, remarks: [] };
}

const factsOf = (day: Day): JudgeFacts => ({
  delivery: deliveryOf(day),
  profile: defaultProfile,
  version: 'v1',
  startedAt: new Date(0),
  host: 'desk',
  dispatch: 'pool',
  decisions: { path: '/decisions.csv', found: true, rows: [] },
});

async function measured(cache: string, frameId: string, bytes: string): Promise<FrameOutcome> {
  const measurement = fakeMeasurement(Buffer.from(bytes));
  await writeMeasured(cache, 'v1', measurement, []);
  return { ok: true, frameId, contentHash: measurement.contentHash, fromCache: false };
}

const pagesIn = (out: string): ReadonlyMap<string, string> =>
  new Map(
    readdirSync(out, { recursive: true, encoding: 'utf8' })
      .filter((path) => /\.(html|svg|css)$/.test(path))
      .sort()
      .map((path) => [path, readFileSync(join(out, path), 'utf8')]),
  );

describe('pages of a day that is being shot', () => {
  it('are after every change what they would be if nothing had been written before', async () => {
    const cache = scratchFolder();
    const out = scratchFolder();
    const pages = createLivePages({ out, cache });
    const day = new Map<string, string>();
    const changes: readonly (readonly [id: string, bytes: string | null])[] = [
      ['coat/1.jpg', 'a'],
      ['dress/1.jpg', 'b'],
      ['dress/2.jpg', 'c'],
      ['coat/2.jpg', 'd'],
      // Shot again, taken away, and the last of its garment.
      ['coat/1.jpg', 'zz'],
      ['dress/1.jpg', null],
      ['dress/2.jpg', null],
      ['dress/3.jpg', 'b'],
    ];
    for (const [id, bytes] of changes) {
      if (bytes === null) day.delete(id);
      else day.set(id, bytes);
      await pages.write(factsOf(day), bytes === null ? [] : [await measured(cache, id, bytes)]);
      const fresh = scratchFolder();
      const all = await Promise.all([...day].map(([frame, body]) => measured(cache, frame, body)));
      await createLivePages({ out: fresh, cache }).write(factsOf(day), all);
      expect(pagesIn(out)).toEqual(pagesIn(fresh));
    }
  });
});
