/** What a file in a delivery is taken for by the end of its name; what its bytes really are, `decode` finds out. */

/** Becomes a frame, readable or not: someone meant it as a picture. */
const pictures = new Set(
  ['jpg', 'jpeg', 'jpe', 'jfif', 'png', 'tif', 'tiff', 'webp', 'avif', 'heic', 'heif', 'hif'].concat([
    'gif',
    'bmp',
    'psd',
    'psb',
    'jxl',
    'jp2',
    'j2k',
    'jxr',
    'exr',
  ]),
);

/** Sensor values of the usual makers: a frame of its own unless it lies beside its developed picture. */
const rawFiles = new Set(
  [
    '3fr',
    'arw',
    'cr2',
    'cr3',
    'crw',
    'dcr',
    'dng',
    'erf',
    'fff',
    'gpr',
    'iiq',
    'kdc',
    'mef',
    'mos',
    'mrw',
    'nef',
  ].concat(['nrw', 'orf', 'pef', 'raf', 'raw', 'rw2', 'rwl', 'sr2', 'srf', 'srw', 'x3f']),
);

/** Lies in deliveries by nature (settings beside pictures, notes, sheets, voice memos, check sums, system files): left out without a word. */
const expected = new Set(
  [
    'xmp',
    'xml',
    'txt',
    'csv',
    'tsv',
    'json',
    'md',
    'log',
    'ini',
    'db',
    'url',
    'lnk',
    'html',
    'htm',
    'css',
    'js',
  ].concat([
    'xls',
    'xlsx',
    'ods',
    'doc',
    'docx',
    'pdf',
    'wav',
    'thm',
    'cos',
    'dop',
    'on1',
    'pp3',
    'icc',
    'icm',
    'md5',
    'sha1',
    'sha256',
  ]),
);

/** Folders that systems and network storage make for themselves. */
const systemFolders = new Set([
  '__macosx',
  '@eadir',
  '$recycle.bin',
  'system volume information',
  'lost+found',
]);

export type FileKind = 'picture' | 'raw' | 'expected' | 'surprising';

export function kindOf(name: string): FileKind {
  const ending = /\.([^.]+)$/.exec(name)?.[1]?.toLowerCase() ?? '';
  if (pictures.has(ending)) return 'picture';
  if (rawFiles.has(ending)) return 'raw';
  return expected.has(ending) ? 'expected' : 'surprising';
}

/** Names that systems hide; `..name` is one of them. */
export function isHidden(name: string): boolean {
  return name.startsWith('.') || systemFolders.has(name.toLowerCase());
}

/** The path without its last ending, for matching a raw file with its developed picture. */
export function stemOf(path: string): string {
  return path.replace(/\.[^./]*$/, '').toLowerCase();
}
