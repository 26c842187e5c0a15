import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createSettling } from '../../../workers/watch/settling.ts';

const settleMs = 200;

/** Looks at given moments; each moment has the stamps of the files that are there. */
function look(moments: readonly (readonly [nowMs: number, stamps: Readonly<Record<string, string>>])[]) {
  const settling = createSettling();
  return moments.map(([nowMs, stamps]) => settling.look(new Map(Object.entries(stamps)), nowMs, settleMs));
}

describe('which files are complete', () => {
  it('tells a file once, when its stamp has stood long enough', () => {
    const told = look([
      [0, { a: '1' }],
      [199, { a: '1' }],
      [200, { a: '1' }],
      [900, { a: '1' }],
    ]);
    expect(told.map(({ complete }) => complete)).toEqual([[], [], ['a'], []]);
  });

  it('waits anew whenever the file grows, and tells it again when it is written to later', () => {
    const told = look([
      [0, { a: '1' }],
      [150, { a: '2' }],
      [300, { a: '2' }],
      [350, { a: '2' }],
      [5000, { a: '3' }],
      [5200, { a: '3' }],
    ]);
    expect(told.map(({ complete }) => complete)).toEqual([[], [], [], ['a'], [], ['a']]);
  });

  it('takes a file at once whose end says that it is whole, and again when it is written to', () => {
    const settling = createSettling();
    const at = (nowMs: number, stamp: string, whole: boolean) =>
      settling.look(new Map([['a', stamp]]), nowMs, settleMs, new Set(whole ? ['a'] : [])).complete;
    expect(at(0, '1', true)).toEqual(['a']);
    expect(at(10, '1', false)).toEqual([]);
    expect(at(20, '2', false)).toEqual([]);
    expect(at(30, '3', true)).toEqual(['a']);
    expect(at(500, '3', false)).toEqual([]);
  });

  it('takes a temporary name and the name after it for two files', () => {
    const told = look([
      [0, { 'a.part': '1' }],
      [100, { a: '1' }],
      [300, { a: '1' }],
      [301, { a: '1' }],
    ]);
    expect(told.map(({ complete, gone }) => [complete, gone])).toEqual([
      [[], []],
      [[], []],
      [['a'], ['a.part']],
      [[], []],
    ]);
  });

  it('believes that a file is gone at the second look only', () => {
    const told = look([
      [0, { a: '1', b: '1' }],
      [300, { a: '1', b: '1' }],
      [400, { b: '1' }],
      [500, { a: '1', b: '1' }],
      [600, { b: '1' }],
      [800, { b: '1' }],
    ]);
    expect(told.map(({ gone }) => gone)).toEqual([[], [], [], [], [], ['a']]);
  });

  it('waits for a file that is coming or missing, and for nothing else', () => {
    const settling = createSettling();
    const at = (nowMs: number, stamps: Record<string, string>): boolean => {
      settling.look(new Map(Object.entries(stamps)), nowMs, settleMs);
      return settling.isWaiting();
    };
    expect(at(0, {})).toBe(false);
    expect(at(1, { a: '1' })).toBe(true);
    expect(at(300, { a: '1' })).toBe(false);
    expect(at(400, {})).toBe(true);
    expect(at(700, {})).toBe(false);
  });

  it('tells every state in which a file was left standing exactly once, in whatever rhythm one looks', () => {
    const writes = fc.array(fc.record({ pauseMs: fc.integer({ min: 0, max: 1000 }) }), { maxLength: 20 });
    fc.assert(
      fc.property(writes, fc.integer({ min: 1, max: 100 }), (pauses, everyMs) => {
        const settling = createSettling();
        let nowMs = 0;
        let told = 0;
        let expected = 0;
        for (const [stamp, { pauseMs }] of pauses.entries()) {
          const untilMs = nowMs + pauseMs;
          for (; nowMs < untilMs; nowMs += everyMs)
            told += settling.look(new Map([['a', String(stamp)]]), nowMs, settleMs).complete.length;
          // Surely told where it stood for the time itself and two looks more, surely not where it stood shorter.
          if (pauseMs >= settleMs + 2 * everyMs) expected += 1;
          else if (pauseMs >= settleMs) return;
        }
        expect(told).toBe(expected);
      }),
    );
  });
});
