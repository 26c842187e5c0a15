import { readFileSync } from 'node:fs';
import { buildProfile } from '../../pipeline/profile/load-profile.ts';
import type { Profile } from '../../pipeline/profile/profile.ts';

export const defaultText = readFileSync(
  new URL('../../pipeline/profile/default.json', import.meta.url),
  'utf8',
);

export const defaultProfile: Profile = buildProfile(defaultText, null);

/** The default profile with a layer laid over it. */
export function aProfile(layer: unknown, file = 'test.json'): Profile {
  return buildProfile(defaultText, { text: JSON.stringify(layer), file });
}
