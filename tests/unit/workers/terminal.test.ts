import { Writable } from 'node:stream';
import { describe, expect, it } from 'vitest';
import type { Results } from '../../../pipeline/contracts/results.ts';
import { resultsSchema } from '../../../pipeline/contracts/results.ts';
import { pace, roughDuration, showProgress } from '../../../workers/cli/progress.ts';
import { statusOfResults, summaryObject, summarySentences } from '../../../workers/cli/summary.ts';
import { printable } from '../../../workers/cli/terminal.ts';
import { minimalValue } from '../../helpers/minimal-value.ts';

function collector(): { stream: Writable; text: () => string } {
  let text = '';
  const stream = new Writable({
    write(chunk, _, done) {
      text += String(chunk);
      done();
    },
  });
  return { stream, text: () => text };
}

describe('what is printed', () => {
  it('holds no control or reordering character, whatever a file is called', () => {
    expect(printable('a\u001b[31m\u0007b\u202Ec\r\nd')).toBe('a [31m b c\nd');
  });
});

describe('progress', () => {
  it('counts only what was measured, and says how long the rest will take', () => {
    const progress = { done: 50, total: 110, frameId: 'f', fromCache: false };
    // By hand: 30 frames in a minute, 60 to go.
    expect(pace(progress, 30, 60_000)).toEqual({ rate: '30 frames a minute', left: '2 min' });
    expect(pace(progress, 1, 60_000)).toEqual({ rate: '1.0 frames a minute', left: '60 min' });
    expect(pace(progress, 0, 60_000)).toBeNull();
  });

  it.each([
    [200, '1 s'],
    [89_000, '89 s'],
    [90_000, '2 min'],
    [5_400_000, '1 h 30 min'],
  ])('words %i ms as %s', (ms, words) => {
    expect(roughDuration(ms)).toBe(words);
  });

  it('is a plain line now and then where nobody watches', () => {
    const err = collector();
    let nowMs = 0;
    const display = showProgress({ out: err.stream, err: err.stream }, () => nowMs);
    for (let done = 1; done <= 60; done += 1) {
      nowMs += 1000;
      display.update({ done, total: 60, frameId: `f${done}`, fromCache: false });
    }
    display.end();
    expect(err.text().split('\n')).toEqual([
      '15 of 60 frames, 60 frames a minute, about 45 s left',
      '30 of 60 frames, 60 frames a minute, about 30 s left',
      '45 of 60 frames, 60 frames a minute, about 15 s left',
      '60 of 60 frames',
      '',
    ]);
  });

  it('is one line that is written over on a terminal, without control characters from names', () => {
    const err = collector();
    const stream = Object.assign(err.stream, {
      isTTY: true as const,
      columns: 120,
      cursorTo: () => true,
      clearLine: () => true,
      moveCursor: () => true,
    });
    const display = showProgress({ out: err.stream, err: stream }, () => 0);
    display.update({ done: 1, total: 2, frameId: 'a\u001b]0;x\u0007b', fromCache: true });
    display.update({ done: 2, total: 2, frameId: 'c', fromCache: true });
    display.end();
    expect(err.text()).toContain('2/2');
    expect(err.text()).not.toContain('\u001b]0;');
  });
});

describe('the summary', () => {
  const garment = (id: string, verdict: 'pass' | 'cleanup' | 'reshoot', title?: string) => ({
    ...(minimalValue(resultsSchema.shape.garments.element) as object),
    id,
    verdict,
    findings: title === undefined ? [] : [{ ...finding, title }],
  });
  const finding = {
    check: 'missing-view',
    severity: 'reject',
    title: '',
    detail: 'd',
    value: null,
    limit: null,
    unit: '',
    source: '',
  };
  function results(...garments: object[]): Results {
    const empty = minimalValue(resultsSchema) as object;
    const frames = [
      {
        id: 'coat/1.jpg',
        garment: 'coat',
        verdict: 'unreadable',
        findings: [{ ...finding, detail: 'Cut off.' }],
        measurement: null,
      },
    ];
    return resultsSchema.parse({ ...empty, garments, frames });
  }
  const end = { out: '/o', measured: 3, fromCache: 2, tookMs: 4000, decisions: '/d/shoot-decisions.csv' };

  it('says how many, what to do first and where to look', () => {
    const found = results(garment('coat', 'reshoot', 'Back view missing'), garment('dress', 'pass'));
    expect(summarySentences({ ...end, results: found })).toEqual([
      '2 garments: 1 pass, 0 need cleanup, 1 need a reshoot.',
      '3 frames measured in 4 s, 2 known from an earlier run.',
      'First, shoot again:',
      '- coat: Back view missing',
      '1 frame could not be read or measured; look at:',
      '- coat/1.jpg: Cut off.',
      'For the retoucher: /o/retouch-list.csv',
      'For the store: /o/store-sheet.csv',
      'To accept or insist on a finding, fill in /d/shoot-decisions.csv and run again.',
      'Start here: /o/index.html',
    ]);
    expect(summaryObject({ ...end, results: found })).toMatchObject({
      status: 1,
      garments: { pass: 1, cleanup: 0, reshoot: 1 },
      frames: { unreadable: 1 },
      measured: 3,
      fromCache: 2,
      verdicts: [
        { garment: 'coat', verdict: 'reshoot' },
        { garment: 'dress', verdict: 'pass' },
      ],
    });
  });

  it('is status 0 only where every garment passes', () => {
    expect(statusOfResults(results(garment('a', 'pass'), garment('b', 'pass')))).toBe(0);
    expect(statusOfResults(results(garment('a', 'pass'), garment('b', 'cleanup')))).toBe(1);
  });

  it('names a few and counts the rest', () => {
    const many = Array.from({ length: 8 }, (_, index) => garment(`g${index}`, 'reshoot', 't'));
    const lines = summarySentences({ ...end, results: results(...many) });
    expect(lines.filter((line) => line.startsWith('- g')).length).toBe(5);
    expect(lines).toContain('- and 3 more');
  });
});
