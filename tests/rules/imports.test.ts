import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

/** Who may import whom. A folder may always import itself; `pipeline/errors.ts` counts as the folder `errors`. */
const allowed: Readonly<
  Record<string, { readonly folders: readonly string[]; readonly packages: readonly string[] }>
> = {
  contracts: { folders: [], packages: ['zod'] },
  kernels: { folders: [], packages: ['node:child_process', 'node:crypto', 'node:fs', 'node:url'] },
  numeric: { folders: ['kernels'], packages: [] },
  errors: { folders: [], packages: [] },
  decode: { folders: ['contracts', 'numeric', 'errors'], packages: ['sharp', 'exifr'] },
  intake: {
    folders: ['contracts', 'errors', 'numeric'],
    packages: ['node:fs/promises', 'node:path', 'csv-parse'],
  },
  measure: {
    folders: ['contracts', 'numeric', 'errors', 'decode'],
    packages: [
      'onnxruntime-node',
      'zxing-wasm',
      'node:fs',
      'node:fs/promises',
      'node:crypto',
      'node:module',
      'node:path',
      'node:url',
    ],
  },
  store: {
    folders: ['contracts', 'errors'],
    packages: ['node:crypto', 'node:fs', 'node:fs/promises', 'node:path', 'node:util'],
  },
  checks: { folders: ['contracts', 'numeric'], packages: [] },
  profile: {
    folders: ['contracts', 'checks', 'errors', 'numeric'],
    packages: ['zod', 'node:crypto', 'node:fs/promises'],
  },
  judge: { folders: ['contracts', 'checks', 'profile', 'numeric'], packages: ['zod'] },
  report: {
    folders: ['contracts'],
    packages: [
      'node:crypto',
      'preact',
      'preact-render-to-string',
      'csv-stringify',
      'fflate',
      'pdfkit',
      'write-excel-file',
    ],
  },
};

const pipeline = fileURLToPath(new URL('../../pipeline', import.meta.url));

function sources(folder: string): string[] {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && /\.tsx?$/.test(entry.name))
    .map((entry) => join(entry.parentPath, entry.name));
}

/** The folder of `pipeline/` a source file belongs to. */
function folderOf(file: string): string {
  const path = relative(pipeline, file);
  return path === 'errors.ts' ? 'errors' : (path.split('/')[0] ?? '');
}

/** `csv-stringify/sync` → `csv-stringify`; `@scope/name/x` → `@scope/name`; `node:fs/promises` stays. */
function packageOf(specifier: string): string {
  if (specifier.startsWith('node:')) return specifier;
  return specifier
    .split('/')
    .slice(0, specifier.startsWith('@') ? 2 : 1)
    .join('/');
}

const imports = sources(pipeline).flatMap((file) =>
  [...readFileSync(file, 'utf8').matchAll(/(?:from|import)\s*\(?\s*'([^']+)'/g)].map((match) => ({
    file: relative(pipeline, file),
    from: folderOf(file),
    to: match[1] ?? '',
    target: (match[1] ?? '').startsWith('.') ? folderOf(resolve(dirname(file), match[1] ?? '')) : null,
  })),
);

describe('imports in pipeline/', () => {
  it.each(Object.keys(allowed))('%s imports only what it may', (folder) => {
    const rule = allowed[folder];
    const own = imports.filter(({ from }) => from === folder);
    expect(own.length + sources(pipeline).filter((file) => folderOf(file) === folder).length).toBeGreaterThan(
      0,
    );
    const broken = own.filter(({ to, target }) =>
      target === null
        ? !rule?.packages.includes(packageOf(to))
        : target !== folder && !rule?.folders.includes(target),
    );
    expect(broken.map(({ file, to }) => `${file} imports ${to}`)).toEqual([]);
  });

  it.each(Object.keys(allowed))(
    'every package in the rule of %s is used, so no rule points at nothing',
    (folder) => {
      const used = new Set(
        imports
          .filter(({ from, target }) => from === folder && target === null)
          .map(({ to }) => packageOf(to)),
      );
      expect(allowed[folder]?.packages.filter((name) => !used.has(name))).toEqual([]);
    },
  );

  it('knows every folder', () => {
    const folders = new Set(sources(pipeline).map(folderOf));
    expect(
      [...folders].filter((folder) => !(folder in allowed) && !['tasks', 'accuracy'].includes(folder)),
    ).toEqual([]);
  });
});

describe('the judging half', () => {
  it.each(['numeric', 'checks', 'judge', 'report'])(
    '%s touches no clock, no random number, no environment',
    (folder) => {
      const offenders = sources(pipeline)
        .filter((file) => folderOf(file) === folder)
        .filter((file) =>
          /\b(Date\.now|new Date\(\)|Math\.random|process\.env|console\.)/.test(readFileSync(file, 'utf8')),
        );
      expect(offenders.map((file) => relative(pipeline, file))).toEqual([]);
    },
  );
});
