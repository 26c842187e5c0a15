import { checksTable, deliveryTable, table } from '../../pipeline/judge/checks-table.ts';
import { loadProfile } from '../../pipeline/profile/load-profile.ts';
import { projectSweeps } from '../validation/sweeps.ts';

/** What the README promises of the measurements; a reference test holds every row. */
function limitsTable(): string {
  return table(
    ['quantity', 'range', 'limit', 'truth'],
    projectSweeps.map(({ quantity, range, limitText, source }) => [quantity, range, limitText, source]),
  );
}

/** The text with what stands between the two marks of `name` replaced. */
function between(text: string, name: string, content: string): string {
  const begin = `<!-- ${name}: begin, written by \`npm run docs\` -->`;
  const end = `<!-- ${name}: end -->`;
  const [before, rest] = text.split(begin);
  const after = rest?.split(end)[1];
  if (before === undefined || after === undefined)
    throw new Error(`README.md must hold "${begin}" and "${end}".`);
  return `${before}${begin}\n\n${content}\n\n${end}${after}`;
}

/** The README with its generated parts renewed: the limits of the measurements, and the checks of the default profile. */
export async function withTables(readme: string): Promise<string> {
  const profile = await loadProfile(null);
  const measured = between(readme, 'measurements', limitsTable());
  return between(measured, 'checks', `${checksTable(profile)}\n\n${deliveryTable(profile)}`);
}
