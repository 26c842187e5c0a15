import { checksTable, deliveryTable } from '../../pipeline/judge/checks-table.ts';
import { loadProfile } from '../../pipeline/profile/load-profile.ts';

const begin = '<!-- checks: begin, written by `npm run docs` -->';
const end = '<!-- checks: end -->';

/** The README with the tables of the default profile between its two marks. */
export async function withTables(readme: string): Promise<string> {
  const [before, rest] = readme.split(begin);
  const after = rest?.split(end)[1];
  if (before === undefined || after === undefined)
    throw new Error(`README.md must hold "${begin}" and "${end}".`);
  const profile = await loadProfile(null);
  return `${before}${begin}\n\n${checksTable(profile)}\n\n${deliveryTable(profile)}\n\n${end}${after}`;
}
