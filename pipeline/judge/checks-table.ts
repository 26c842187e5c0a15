import { checks } from '../checks/index.ts';
import { amount } from '../checks/words.ts';
import type { Check, Limit, NumericQuantity } from '../contracts/check.ts';
import type { Profile } from '../profile/profile.ts';

/** Makes a text safe inside a cell of a Markdown table. */
const cell = (text: string): string => text.replace(/\|/g, '\\|').replace(/\s+/g, ' ');

function limitWords(quantity: NumericQuantity, level: string, limit: Limit): string {
  return limit.value === null ? '' : `${level} ${quantity.bad} ${amount(limit.value, quantity.unit, 3)}`;
}

function rowsOf(check: Check, profile: Profile): readonly (readonly string[])[] {
  const { id, what, quantities } = check.meta;
  const first = [`\`${id}\``, what];
  const rows = Object.entries(quantities).map(([name, quantity]): readonly string[] => {
    if (quantity.bad === 'outside') {
      return [quantity.meaning, `${quantity.severity} unless ${quantity.unless}`, quantity.unit, ''];
    }
    const limits = Object.entries(profile.checks[id]?.limits[name] ?? {}).filter(
      ([, { value }]) => value !== null,
    );
    return [
      quantity.meaning,
      limits.map(([level, limit]) => limitWords(quantity, level, limit)).join('; '),
      quantity.unit,
      [...new Set(limits.map(([, { source }]) => source))].join('; '),
    ];
  });
  const all = rows.length > 0 ? rows : [['', 'a person must look', '', '']];
  return all.map((row, index) => [...(index === 0 ? first : ['', '']), ...row]);
}

/** A Markdown table; what a cell may not hold is escaped. */
export function table(header: readonly string[], rows: readonly (readonly string[])[]): string {
  return [header, header.map(() => '---'), ...rows]
    .map((row) => `| ${row.map(cell).join(' | ')} |`)
    .join('\n');
}

/** A Markdown table of every check with the limits of a profile: id, what it looks at, each quantity, its limits, unit and source. */
export function checksTable(profile: Profile): string {
  return table(
    ['check', 'what', 'measured', 'limits', 'unit', 'source'],
    checks.flatMap((check) => rowsOf(check, profile)),
  );
}

/** A Markdown table of what a profile asks of a delivery as a whole. */
export function deliveryTable({ delivery }: Profile): string {
  return table(
    ['setting', 'value', 'source'],
    [
      ['`delivery.longEdge`', `${delivery.longEdgePx} px`, delivery.longEdgeSource],
      ['`delivery.formats`', delivery.formats.names.join(', '), delivery.formats.source],
      ['`delivery.colourSpaces`', delivery.colourSpaces.names.join(', '), delivery.colourSpaces.source],
      ['`delivery.required`', delivery.required.names.join(', '), delivery.required.source],
    ],
  );
}
