/** Figures beside what was asked of them, in one table. */
import { cpus, loadavg } from 'node:os';

export interface Figure {
  readonly what: string;
  readonly value: number;
  /** At most this; `null` where nothing was asked. */
  readonly target: number | null;
  readonly unit: 'ms' | 's' | 'times';
  readonly more?: string;
}

const amount = (value: number, unit: Figure['unit']): string =>
  `${value.toFixed(unit === 'ms' ? 0 : 2)} ${unit}`;

const holds = ({ value, target }: Figure): boolean => target === null || value <= target;

/** Prints the table and the state of the machine; the status of the process is 1 where a target is missed. */
export function printFigures(figures: readonly Figure[]): void {
  const rows = figures.map((figure) => [
    figure.what,
    amount(figure.value, figure.unit),
    figure.target === null ? '' : amount(figure.target, figure.unit),
    figure.target === null ? '' : holds(figure) ? 'held' : 'NOT HELD',
    figure.more ?? '',
  ]);
  const table = [['', 'measured', 'at most', '', ''], ...rows];
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
