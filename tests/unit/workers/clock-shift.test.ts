import { describe, expect, it } from 'vitest';
import { clockShift } from '../../../workers/cli/delivery-options.ts';

describe('--clock', () => {
  it.each([
    ['Maker M1 123=-1:00:00', 'Maker M1 123', -3_600_000],
    ['Maker M1=+0:02:05', 'Maker M1', 125_000],
    ['a=b=12:30', 'a=b', 45_000_000],
  ])('%s', (text, body, ms) => {
    expect([...clockShift(text, undefined)]).toEqual([[body, ms]]);
  });

  it('may be given once for each body', () => {
    expect(clockShift('b=0:01', clockShift('a=1:00', undefined)).size).toBe(2);
  });

  it.each(['', 'a', 'a=', 'a=1', 'a=1:60', '=1:00', 'a=1:00:00:00'])('%s says what it must be', (text) => {
    expect(() => clockShift(text, undefined)).toThrow(/such as/);
  });
});
