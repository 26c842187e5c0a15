/** What the embedded ICC profile is and how the file's px become sRGB. */
import { cleanText } from '../contracts/clean-text.ts';
import type { FileFacts } from '../contracts/measurement/file.ts';
import type { Triple } from '../numeric/colour/matrix3.ts';
import { type IccProfile, parseIcc, type ToneCurve } from '../numeric/icc.ts';
import { type KnownSpace, recogniseSpace } from '../numeric/rgb-spaces.ts';

/** How px in the file's own encoding become sRGB. */
export type Conversion =
  /** They are sRGB already, or nothing says that they are not. */
  | { readonly kind: 'none' }
  | {
      readonly kind: 'matrix';
      readonly colorants: readonly [Triple, Triple, Triple] | null;
      readonly curves: readonly ToneCurve[];
    }
  /** Through the image library: CMYK, and profiles that hold tables. */
  | { readonly kind: 'library' };

export interface ProfileFacts
  extends Pick<FileFacts, 'colourProfile' | 'colourSpace' | 'profileNameAgrees' | 'profileProblem'> {
  readonly conversion: Conversion;
}

/** The layout of the file's px before any conversion. */
export type Layout = 'rgb' | 'grey' | 'cmyk';

/** @param icc the embedded profile, if there is one. */
export function readProfile(icc: Uint8Array | undefined, layout: Layout): ProfileFacts {
  if (icc === undefined) {
    return {
      colourProfile: null,
      colourSpace: layout === 'rgb' ? 'untagged' : layout,
      profileNameAgrees: null,
      profileProblem: null,
      conversion: { kind: layout === 'cmyk' ? 'library' : 'none' },
    };
  }
  const parsed = parseIcc(icc);
  const problem = parsed.ok
    ? misfit(parsed.profile, layout)
    : `The embedded colour profile cannot be read: ${parsed.problem}`;
  const description =
    parsed.ok && parsed.profile.description !== null ? cleanText(parsed.profile.description, 120) : '';
  if (!parsed.ok || problem !== null) {
    return {
      // An unnamed profile still is one: `null` would say that there is none.
      colourProfile: description === '' ? unnamed : description,
      colourSpace: layout === 'cmyk' ? 'cmyk' : 'other',
      profileNameAgrees: null,
      profileProblem: `${problem}; the picture was read as ${layout === 'cmyk' ? 'ordinary CMYK' : 'sRGB'}.`,
      conversion: { kind: layout === 'cmyk' ? 'library' : 'none' },
    };
  }
  const { profile } = parsed;
  const space = layout === 'rgb' ? spaceOf(profile) : null;
  return {
    colourProfile: description === '' ? unnamed : description,
    colourSpace: layout === 'rgb' ? (space ?? 'other') : layout,
    profileNameAgrees: layout === 'rgb' ? nameAgrees(description, profile, space) : null,
    profileProblem: null,
    conversion: conversionOf(profile, layout, space),
  };
}

const unnamed = '(without a name)';

/** The profile is sound, but not one for px of this layout. */
function misfit(profile: IccProfile, layout: Layout): string | null {
  const expected = { rgb: 'RGB', grey: 'GRAY', cmyk: 'CMYK' }[layout];
  if (profile.space !== expected) {
    return `The embedded colour profile is for ${cleanText(profile.space, 8)} and the picture is ${expected}`;
  }
  if (profile.hasTable || layout === 'cmyk') return null;
  if (profile.curves === null || (layout === 'rgb' && profile.colorants === null)) {
    return 'The embedded colour profile lacks the colours or curves that it must hold';
  }
  if (layout === 'rgb' && profile.colorants !== null && !addUpToWhite(profile.colorants)) {
    return 'The embedded colour profile is damaged: its colours do not add up to a white';
  }
  return null;
}

/** Luminances must add up to 1; real profiles keep this to a percent, and no real colorant leaves -1..2. */
function addUpToWhite(colorants: readonly [Triple, Triple, Triple]): boolean {
  const luminance = colorants.reduce((sum, [, y]) => sum + y, 0);
  return Math.abs(luminance - 1) < 0.2 && colorants.flat().every((value) => value > -1 && value < 2);
}

function spaceOf({ colorants, curves, hasTable }: IccProfile): KnownSpace | null {
  if (hasTable || colorants === null || curves === null) return null;
  return recogniseSpace(colorants, curves);
}

function conversionOf(profile: IccProfile, layout: Layout, space: KnownSpace | null): Conversion {
  if (layout === 'cmyk' || profile.hasTable) return { kind: 'library' };
  if (space === 'srgb') return { kind: 'none' };
  if (profile.curves === null) return { kind: 'none' };
  return { kind: 'matrix', colorants: layout === 'grey' ? null : profile.colorants, curves: profile.curves };
}

/** Names under which the spaces are known, their standards' numbers among them. */
const claims: readonly (readonly [RegExp, KnownSpace])[] = [
  [/srgb|61966-?2-?1/i, 'srgb'],
  [/adobe\s*rgb|oprgb/i, 'adobe-rgb'],
  [/display\s*p3/i, 'display-p3'],
  [/prophoto|romm/i, 'prophoto-rgb'],
];

/** A name that says "linear" or gives a gamma of its own does not claim the published curve. */
const ownCurve = /linear|gamma|g\s?\d\.?\d/i;

function nameAgrees(description: string, profile: IccProfile, space: KnownSpace | null): boolean | null {
  const claim = claims.find(([pattern]) => pattern.test(description))?.[1];
  if (claim === undefined || profile.hasTable || ownCurve.test(description)) return null;
  return claim === space;
}
