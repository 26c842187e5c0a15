import { describe, expect, it } from 'vitest';
import {
  against,
  amount,
  count,
  fileNames,
  listing,
  shutterNoLongerThan,
} from '../../../pipeline/checks/words.ts';

describe('amount', () => {
  it.each([
    [3.1234, 'px', '3.1 px'],
    [12.6, 'px', '13 px'],
    [0, 'px', '0 px'],
    [0.0234, 'share', '2.3 %'],
    [0.00001, 'share', '0.001 %'],
    [1, 'share', '100 %'],
    [1 / 250, 's', '1/250 s'],
    [1.3, 's', '1.3 s'],
    [1.8, 'f-number', 'f/1.8'],
    [2, 'f-number', 'f/2'],
    [12800, 'ISO', 'ISO 12800'],
    [1, 'frames', '1 frame'],
    [4, 'frames', '4 frames'],
    [0, 'people', '0 people'],
    [1, 'people', '1 person'],
    [0.0061, 'Duv', 'Duv 0.0061'],
    [-2.5, 'stops', '-2.5 stops'],
    [1.5, 'times', '1.5 times'],
  ])('%d %s reads %s', (value, unit, text) => {
    expect(amount(value, unit)).toBe(text);
  });
});

describe('against', () => {
  it('shows as many digits as it takes to tell value and limit apart', () => {
    expect(against(1.62, 1.6, 'px')).toEqual({ value: '1.62 px', limit: '1.6 px' });
    expect(against(3, 1.6, 'px')).toEqual({ value: '3 px', limit: '1.6 px' });
    expect(against(0.020001, 0.02, 'share')).toEqual({ value: '2.0001 %', limit: '2 %' });
    expect(against(1 / 203, 1 / 200, 's')).toEqual({ value: '1/203 s', limit: '1/200 s' });
  });

  it('does not search for a difference that is not there', () => {
    expect(against(2, 2, 'px')).toEqual({ value: '2 px', limit: '2 px' });
  });
});

describe('lists', () => {
  it('reads as a sentence', () => {
    expect(listing([])).toBe('');
    expect(listing(['a'])).toBe('a');
    expect(listing(['a', 'b', 'c'])).toBe('a, b and c');
    expect(listing(['a', 'b'], 'or')).toBe('a or b');
    expect(count(1, 'frame')).toBe('1 frame');
  });

  it('names five files and counts the rest', () => {
    const ids = Array.from({ length: 8 }, (_, index) => `g/h/${index}.jpg`);
    expect(fileNames(ids)).toBe('0.jpg, 1.jpg, 2.jpg, 3.jpg, 4.jpg and 3 more');
    expect(fileNames(ids.slice(0, 2))).toBe('0.jpg and 1.jpg');
  });
});

describe('shutterNoLongerThan', () => {
  // The full-stop series of shutter speeds, common practice.
  it.each([
    [1 / 100, '1/125 s'],
    [1 / 125, '1/125 s'],
    [1 / 128, '1/125 s'],
    [1 / 140, '1/250 s'],
    [1, '1/4 s'],
    [1 / 100_000, '1/8000 s'],
  ])('%d s gives %s', (seconds, speed) => {
    expect(shutterNoLongerThan(seconds)).toBe(speed);
  });
});
