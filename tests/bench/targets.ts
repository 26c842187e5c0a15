/** Figures beside what was asked of them, in one table. */
import { cpus, loadavg } from 'node:os';

export interface Figure {
  readonly what: string;
  readonly value: number;
  /** `null` where nothing was asked. */
  readonly target: number | null;
  /** On which side of the target the value must lie: by default at most. */
  readonly bound?: 'at most' | 'at least';
  readonly unit: 'ms' | 's' | 'times' | 'MiB';
  readonly more?: string;
}

const amount = (value: number, unit: Figure['unit']): string =>
  `${value.toFixed(unit === 'ms' || unit === 'MiB' ? 0 : 2)} ${unit}`;

const holds = ({ value, target, bound }: Figure): boolean =>
  target === null || (bound === 'at least' ? value >= target : value <= target);

/** Prints the table and the state of the machine; the status of the process is 1 where a target is missed. */
export function printFigures(figures: readonly Figure[]): void {
  const rows = figures.map((figure) => [
    figure.what,
    amount(figure.value, figure.unit),
    figure.target === null ? '' : `${figure.bound ?? 'at most'} ${amount(figure.target, figure.unit)}`,
    figure.target === null ? '' : holds(figure) ? 'held' : 'NOT HELD',
    figure.more ?? '',
  ]);
  const table = [['', 'measured', 'asked', '', ''], ...rows];
  const widths = [0, 1, 2, 3].map((column) => Math.max(...table.map((row) => row[column]!.length)));
  for (const row of table)
    console.log(
      row
        .map((text, column) => text.padEnd(widths[column] ?? 0))
        .join('  ')
        .trimEnd(),
    );
  const load = loadavg().map((value) => value.toFixed(1));
  console.log(`Node ${process.version}, ${cpus().length} cores, load of 1, 5 and 15 min ${load.join(', ')}`);
  if (!figures.every(holds)) process.exitCode = 1;
}
