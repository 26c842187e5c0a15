/** What the operating system's error codes mean to a person (names: POSIX `errno.h`). */
const meanings: Readonly<Record<string, string>> = {
  EACCES: 'permission was refused',
  EPERM: 'permission was refused',
  EROFS: 'the disk is mounted read-only',
  ENOSPC: 'the disk is full',
  EDQUOT: 'the disk quota is used up',
  EFBIG: 'the file would be larger than this disk or account allows',
  EIO: 'the disk reported a read or write error',
  ENOENT: 'it is not there',
  ENOTDIR: 'a part of its path is a file, not a folder',
  EADDRINUSE: 'another program uses it',
  EISDIR: 'it is a folder',
  EEXIST: 'a file of that name is in the way',
  ELOOP: 'its links lead in a circle',
  ENAMETOOLONG: 'its name is too long for this disk',
  EMFILE: 'this process has too many files open',
  ENFILE: 'this machine has too many files open',
  ESTALE: 'the shared folder lost it; mount it again',
  ETIMEDOUT: 'the shared folder did not answer',
  EHOSTDOWN: 'the machine that holds the shared folder is down',
  ENOTCONN: 'the shared folder is not connected',
  EAGAIN: 'the system is short of resources',
  ERR_FS_FILE_TOO_LARGE: 'it is larger than 2 GiB',
};

/** Faults of a disk or network that come and go. */
const passing = new Set([
  'EIO',
  'ESTALE',
  'ETIMEDOUT',
  'EMFILE',
  'ENFILE',
  'EAGAIN',
  'EHOSTDOWN',
  'ENOTCONN',
]);

/** Whether the same call may succeed later without anybody doing anything. */
export function mayPass(error: unknown): boolean {
  const code = systemCode(error);
  return code !== null && passing.has(code);
}

/** The `code` of an error of the operating system or of Node, `null` where it has none. */
export function systemCode(error: unknown): string | null {
  if (!(error instanceof Error) || !('code' in error)) return null;
  return typeof error.code === 'string' ? error.code : null;
}

/** A few words for a person; falls back on the error's own message. */
export function systemMeaning(error: unknown): string {
  const code = systemCode(error);
  if (code !== null && meanings[code] !== undefined) return meanings[code];
  return error instanceof Error ? error.message : String(error);
}
