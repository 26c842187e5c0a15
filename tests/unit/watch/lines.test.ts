import { describe, expect, it } from 'vitest';
import type { Finding } from '../../../pipeline/contracts/finding.ts';
import type { FrameResult, GarmentResult, Results } from '../../../pipeline/contracts/results.ts';
import { frameLines, garmentLines } from '../../../workers/watch/lines.ts';
import type { News } from '../../../workers/watch/watch-folder.ts';
import { demoResults } from '../../helpers/demo-results.ts';

const finding = (rest: Partial<Finding>): Finding => ({
  check: 'soft-eyes',
  severity: 'reject',
  title: 'Soft eyes',
  detail: 'Blur in the eyes is 2.9 px at delivery size, more than the 2.5 px limit. Focus on the nearer eye.',
  value: 2.9,
  limit: 2.5,
  unit: 'px',
  source: 'common practice',
  ...rest,
});
const noFront = finding({
  check: 'missing-view',
  title: 'Front view missing',
  detail: 'No usable frame shows the front view. a-0450.jpg would show it but cannot be used.',
  frames: ['dress/a-0450.jpg'],
});
const noBack = finding({ check: 'missing-view', title: 'Back view missing', detail: 'Shoot it.' });
const person = finding({
  check: 'background-person',
  severity: 'cleanup',
  title: 'Background person, light work',
});

function frame(
  name: string,
  verdict: FrameResult['verdict'],
  findings: readonly Finding[] = [],
): FrameResult {
  return {
    ...demoResults.frames[0]!,
    id: `dress/${name}`,
    garment: 'dress',
    verdict,
    findings: [...findings],
  };
}

function results(
  frames: readonly FrameResult[],
  findings: readonly Finding[],
  covered: Readonly<Record<string, string>> = {},
): Results {
  const garment: GarmentResult = {
    ...demoResults.garments[0]!,
    id: 'dress',
    verdict: 'reshoot',
    frames: frames.map(({ id }) => id),
    findings: [...findings],
    coverage: { required: ['front', 'back'], covered, missing: [] },
  };
  return { ...demoResults, garments: [garment], frames: [...frames] };
}

const news = (measured: readonly string[], rest: Partial<News> = {}): News => ({
  delivery: { root: '/', garments: [], frames: [], remarks: [] },
  measured: measured.map((frameId) => ({ ok: true, frameId, contentHash: '', fromCache: false })),
  backlog: new Set(),
  gone: [],
  open: 0,
  ...rest,
});

describe('what a watch says of a garment', () => {
  it('names what is missing, what to shoot again and why, in that order, within 80 columns', () => {
    const frames = [
      frame('a-0450.jpg', 'reject', [finding({})]),
      frame('a-0451.jpg', 'cleanup', [person]),
      frame('a-0452.jpg', 'reject', [finding({ title: 'Soft garment' })]),
      frame('a-0453.jpg', 'pass'),
    ];
    const lines = garmentLines('dress', results(frames, [noFront, noBack], { back: 'dress/a-0451.jpg' }));
    expect(lines).toEqual([
      '',
      'dress: 4 frames, 1 pass, 1 cleanup and 2 reject.',
      '! Front view and back view missing.',
      '! Shoot again a-0450.jpg: Soft eyes. Blur in the eyes is 2.9 px at delivery',
      '  size, more than the 2.5 px limit. Focus on the nearer eye.',
      '- If there is time, a-0451.jpg once more: Background person, light work.',
      '- Others show the same as a-0452.jpg, which is left out: Soft garment.',
      '',
    ]);
    for (const line of lines) expect(line.length).toBeLessThanOrEqual(80);
  });

  it('says that nothing is missing once that is so', () => {
    expect(garmentLines('dress', results([frame('a.jpg', 'pass')], []))[1]).toBe(
      'dress: 1 frame, 1 pass. Nothing is missing.',
    );
  });

  it('asks for a look where a view is not certain, and for a new copy of what cannot be read', () => {
    const unsure = finding({
      check: 'missing-view',
      severity: 'unmeasured',
      title: 'Back view not certain',
      detail: 'Look.',
    });
    const unreadable = finding({
      check: 'unreadable-file',
      severity: 'unmeasured',
      detail: 'The JPEG file is cut off: copy it again.',
    });
    const lines = garmentLines('dress', results([frame('a.jpg', 'unreadable', [unreadable])], [unsure]));
    expect(lines).toContain('! a.jpg: The JPEG file is cut off: copy it again.');
    expect(lines).toContain('! Back view not certain. Look.');
  });

  it('follows a person who accepted a finding', () => {
    const accepted = { ...noBack, decision: { decided: 'accept' as const, who: 'A', why: 'B' } };
    expect(garmentLines('dress', results([frame('a.jpg', 'pass')], [accepted])).join()).not.toContain('Back');
  });
});

describe('what a watch says of frames', () => {
  const all = results([frame('a.jpg', 'pass'), frame('b.jpg', 'reject', [finding({}), person])], []);

  it('is one line each, also for what is gone or only shows a tag', () => {
    const said = frameLines(
      news(['dress/a.jpg', 'dress/b.jpg', 'dress/tag.jpg'], { gone: ['dress/c.jpg'] }),
      all,
    );
    expect(said).toEqual([
      'c.jpg: no longer there',
      'a.jpg: pass',
      'b.jpg: reject. Soft eyes; Background person, light work',
      'tag.jpg: a tag, not delivered',
    ]);
  });

  it('passes over what lay there already', () => {
    expect(frameLines(news(['dress/a.jpg'], { backlog: new Set(['dress/a.jpg']) }), all)).toEqual([]);
  });

  it('lets no control character of a file name through', () => {
    const hostile = results([frame('a\u001b[2J\u202Eb.jpg', 'pass')], []);
    expect(frameLines(news(['dress/a\u001b[2J\u202Eb.jpg']), hostile)).toEqual(['a [2J b.jpg: pass']);
  });
});
