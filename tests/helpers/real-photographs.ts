/**
 * Camera photographs for tests that need real noise, lenses and light: Debian package `mate-backgrounds` (GPL-2+, Copyright 2005 to 2008
 * of the photographers named in its copyright file; plants, water and sky, no people). Read where Debian puts them, never copied here.
 */
import { existsSync } from 'node:fs';
import { join } from 'node:path';

export const photographsPackage = 'mate-backgrounds';
export const photographsFolder = '/usr/share/backgrounds/mate/nature';

/**
 * Focused to the px somewhere in the frame: sharpest edges of sigma 0.47 to 0.9 px. The other four of the folder are softer or, as the
 * storm at 0.4 s, shaken.
 */
const sharpNames = [
  'Aqua',
  'Blinds',
  'Dune',
  'Garden',
  'GreenMeadow',
  'LadyBird',
  'TwoWings',
  'Wood',
] as const;
const softNames = ['FreshFlower', 'RainDrops', 'Storm', 'YellowFlower'] as const;

/** @throws Error that says what to install. */
function pathsOf(names: readonly string[]): readonly string[] {
  const paths = names.map((name) => join(photographsFolder, `${name}.jpg`));
  if (!paths.every((path) => existsSync(path))) {
    throw new Error(
      `Photographs are missing from ${photographsFolder}. As root, run: apt-get install --no-install-recommends ${photographsPackage}`,
    );
  }
  return paths;
}

/** Paths of eight photographs with detail down to the px, 1.3 to 4.9 megapixels, sRGB JPEG. */
export const sharpPhotographs = (): readonly string[] => pathsOf(sharpNames);

/** Paths of all twelve photographs, 1.3 to 4.9 megapixels, sRGB JPEG. */
export const realPhotographs = (): readonly string[] => pathsOf([...sharpNames, ...softNames]);
