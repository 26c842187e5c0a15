/** What EXIF itself leaves open: the maker's own block and a raw converter's packet, both built by hand. */
import { describe, expect, it } from 'vitest';
import { decodeFrame } from '../../../pipeline/decode/decode-frame.ts';
import { exifBlock, withExif } from '../../helpers/exif-maker.ts';
import { jpeg, picture } from '../../helpers/pictures.ts';

describe('what the maker keeps to itself (field numbers: ExifTool tag tables)', () => {
  const raw = async (make: string, note: (at: number) => Uint8Array) => {
    const block = (at: number) =>
      exifBlock({ image: { 271: { ascii: make } }, exif: { 37500: { undefined: note(at) } } });
    const at = block(0).indexOf(Buffer.from(note(0).slice(0, 8)));
    const { capture } = await decodeFrame(withExif(await jpeg(), block(at)));
    return [capture.colourTemperatureK, capture.serial];
  };
  const directory = (entries: readonly (readonly [number, number, number, number])[]): number[] => {
    const u16 = (v: number) => [v & 255, v >> 8];
    const u32 = (v: number) => [v & 255, (v >> 8) & 255, (v >> 16) & 255, (v >>> 24) & 255];
    return [
      ...u16(entries.length),
      ...entries.flatMap(([tag, type, count, value]) => [
        ...u16(tag),
        ...u16(type),
        ...u32(count),
        ...u32(value),
      ]),
      0,
      0,
      0,
      0,
    ];
  };
  const shorts = (values: readonly number[]): number[] => values.flatMap((v) => [v & 255, v >> 8]);

  it('Canon: temperature only where it is what the white balance was set to; serial number', async () => {
    const canon = (whiteBalance: number) => (at: number) => {
      const info = [28, 0, 0, 0, 0, 0, 0, 0, whiteBalance, 5600, 0, 0, 0, 0];
      const head = directory([
        [0x000c, 4, 1, 1234567],
        [0x00a0, 3, info.length, at + 2 + 24 + 4],
      ]);
      return Uint8Array.from([...head, ...shorts(info)]);
    };
    expect(await raw('Canon', canon(9))).toEqual([5600, '1234567']);
    expect(await raw('Canon', canon(0))).toEqual([null, '1234567']);
  });

  it('Sony, Panasonic and Fujifilm', async () => {
    const marked = (mark: string, entry: readonly [number, number, number, number]) => () =>
      Uint8Array.from([...Buffer.from(mark, 'latin1'), ...directory([entry])]);
    expect(await raw('SONY', marked('SONY DSC \0\0\0', [0xb021, 4, 1, 5200]))).toEqual([5200, null]);
    expect(await raw('Panasonic', marked('Panasonic\0\0\0', [0x0044, 3, 1, 4800]))).toEqual([4800, null]);
    expect(await raw('FUJIFILM', marked('FUJIFILM\x0c\0\0\0', [0x1005, 3, 1, 6500]))).toEqual([6500, null]);
    // 0 is "automatic", 65535 "unknown".
    expect(await raw('SONY', marked('SONY DSC \0\0\0', [0xb021, 4, 1, 0]))).toEqual([null, null]);
    expect(await raw('Panasonic', marked('Panasonic\0\0\0', [0x0044, 3, 1, 65535]))).toEqual([null, null]);
  });
});

describe('a raw converter’s packet (ISO 16684-1)', () => {
  const packet = (inner: string) =>
    `<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">${inner}</rdf:RDF></x:xmpmeta>`;
  const spaces =
    'xmlns:crs="http://ns.adobe.com/camera-raw-settings/1.0/" xmlns:aux="http://ns.adobe.com/exif/1.0/aux/"';

  it('stands in where EXIF is silent, as attribute or element', async () => {
    const attribute = `<rdf:Description ${spaces} crs:Temperature="5350" aux:SerialNumber="77" aux:Lens="70-200 mm &amp; hood"/>`;
    const element = `<rdf:Description ${spaces}><crs:ColorTemperature>4250</crs:ColorTemperature></rdf:Description>`;
    const one = await decodeFrame(await picture().jpeg().withXmp(packet(attribute)).toBuffer());
    expect(one.capture).toMatchObject({ colourTemperatureK: 5350, serial: '77', lens: '70-200 mm & hood' });
    const two = await decodeFrame(await picture().jpeg().withXmp(packet(element)).toBuffer());
    expect(two.capture.colourTemperatureK).toBe(4250);
    const none = `<rdf:Description ${spaces} crs:Temperature="warm"/>`;
    const three = await decodeFrame(await picture().jpeg().withXmp(packet(none)).toBuffer());
    expect(three.capture.colourTemperatureK).toBeNull();
  });
});
