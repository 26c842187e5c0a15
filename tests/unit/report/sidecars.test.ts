import { execFileSync } from 'node:child_process';
import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { FrameResult } from '../../../pipeline/contracts/results.ts';
import { frameStems } from '../../../pipeline/report/frame-stems.ts';
import { sidecar, sidecars } from '../../../pipeline/report/sidecars.ts';
import { demoResults, hostileName } from '../../helpers/demo-results.ts';
import { scratchFolder } from '../../helpers/scratch.ts';

/** Read back by ExifTool, which knows the standard's namespaces and validates against them. */
interface Read {
  readonly SourceFile: string;
  readonly [tag: string]: unknown;
}

function exiftool(folder: string): readonly Read[] {
  const args = [
    '-json',
    '-r',
    '-struct',
    '-G1',
    '-validate',
    '-warning',
    '-a',
    '-XMP:all',
    '-ext',
    'xmp',
    folder,
  ];
  return JSON.parse(execFileSync('exiftool', args, { encoding: 'utf8', stdio: 'pipe' })) as Read[];
}

function placed(files: readonly { readonly path: string; readonly body: string }[]): string {
  const folder = scratchFolder();
  for (const { path, body } of files) {
    mkdirSync(dirname(join(folder, path)), { recursive: true });
    writeFileSync(join(folder, path), body);
  }
  return folder;
}

describe('sidecars', () => {
  it('give rating, label, keywords and description to ExifTool, which finds no fault in them', () => {
    const folder = placed(sidecars(demoResults));
    const read = exiftool(folder);
    expect(read.length).toBe(demoResults.frames.length);
    const of = (end: string): Read => read.find(({ SourceFile }) => SourceFile.endsWith(end))!;
    for (const one of read) expect(one['ExifTool:Validate'], JSON.stringify(one)).toBe('OK');
    expect(of('1 ü.xmp')).toMatchObject({
      'XMP-xmp:Rating': 3,
      'XMP-xmp:Label': 'cleanup',
      'XMP-dc:Subject': [hostileName, 'cleanup', 'background-person'],
      'XMP-dc:Description': expect.stringContaining('takes 2.1 % of the frame'),
    });
    expect(of('dress/2.xmp')).toMatchObject({ 'XMP-xmp:Rating': 0, 'XMP-xmp:Label': 'unreadable' });
    expect(of('skirt/1.xmp')).toMatchObject({ 'XMP-xmp:Rating': 5, 'XMP-dc:Description': 'Deliver.' });
    const namespaces = new Set(
      read
        .flatMap((one) => Object.keys(one).map((tag) => tag.split(':')[0]))
        .filter((tag) => tag?.startsWith('XMP')),
    );
    expect(namespaces).toEqual(new Set(['XMP-xmp', 'XMP-dc']));
  });

  it('stay well-formed whatever a garment is called', () => {
    const garment = `</rdf:li>]]>&amp;<!--\u0000\u001b\ud800\uffff\u202e"'`;
    const frame: FrameResult = { ...demoResults.frames[0]!, garment };
    const read = exiftool(placed([{ path: 'a.xmp', body: sidecar(frame) }]))[0]!;
    expect(read['ExifTool:Validate']).toBe('OK');
    expect((read['XMP-dc:Subject'] as string[])[0]).toBe(`</rdf:li>]]>&amp;<!--  "'`);
  });

  it('say what a person decided', () => {
    const frame = demoResults.frames[0]!;
    const decision = { decided: 'accept', who: 'Ana', why: 'the store likes it' } as const;
    const text = sidecar({
      ...frame,
      verdict: 'pass',
      findings: frame.findings.map((finding) => ({ ...finding, decision })),
    });
    expect(text).toContain('Accepted by Ana: the store likes it');
    expect(text).not.toContain('<rdf:li>background-person</rdf:li>');
  });

  it('have names that do not meet', () => {
    const ids = ['a/1.jpg', 'a/1.png', 'a/2.jpg', 'a/2.b.jpg', 'A/2.JPG', 'noending'];
    const names = [...frameStems(ids.map((id) => ({ id }))).values()];
    expect(names).toEqual(['a/1.jpg', 'a/1.png', 'a/2.jpg', 'a/2.b', 'A/2.JPG-2', 'noending']);
  });
});
