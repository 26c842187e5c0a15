import { realpath } from 'node:fs/promises';
import { join, relative, resolve, sep } from 'node:path';
import { codedError } from '../../pipeline/errors.ts';

/** The folder that every machine sees, as this one mounts it. Paths inside it travel without the mount point. */
export interface SharedFolder {
  /** @throws CodedError `path-outside-root`. */
  toShared(path: string): string;
  toLocal(shared: string): string;
}

/** @param root mount point on this machine; `/` where all machines use the same paths. */
export function sharedFolder(root: string): SharedFolder {
  const base = resolve(root);
  return {
    toShared(path) {
      const inside = relative(base, resolve(path));
      if (inside === '..' || inside.startsWith(`..${sep}`))
        throw codedError('path-outside-root', { path, root: base });
      return inside.split(sep).join('/');
    },
    toLocal: (shared) => join(base, ...shared.split('/')),
  };
}

/** The shared folder at a mount point that must be there, links followed. @throws CodedError `root-not-found`. */
export async function openSharedFolder(root: string): Promise<SharedFolder> {
  try {
    return sharedFolder(await realpath(root));
  } catch (error) {
    throw codedError('root-not-found', { root }, error);
  }
}
