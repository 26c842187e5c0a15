/** Options that the commands which check a delivery share. */
import { availableParallelism } from 'node:os';
import { type Command, InvalidArgumentError, Option, type OptionValues } from '@commander-js/extra-typings';

/** More threads than any one machine has use for; a slip of the keyboard must not start thousands. */
export const mostWorkers = 256;
const longestTimeoutS = 3600;

export function wholeNumber(from: number, to: number): (text: string) => number {
  return (text) => {
    const value = Number(text);
    if (!/^\d+$/.test(text) || value < from || value > to)
      throw new InvalidArgumentError(`It must be a whole number from ${from} to ${to}.`);
    return value;
  };
}

/** `body=±h:mm:ss`, one a use of the option: body to ms. The body's name may itself hold a `=`. */
export function clockShift(
  text: string,
  earlier: ReadonlyMap<string, number> | undefined,
): ReadonlyMap<string, number> {
  const [, body, sign, h, min, s] = /^(.+)=([+-]?)(\d{1,2}):([0-5]\d)(?::([0-5]\d))?$/.exec(text) ?? [];
  if (body === undefined)
    throw new InvalidArgumentError('It must be the body and a shift, such as "Maker M1 123=-1:00:00".');
  const seconds = Number(h) * 3600 + Number(min) * 60 + Number(s ?? 0);
  return new Map(earlier).set(body.trim(), (sign === '-' ? -1000 : 1000) * seconds);
}

const profileOption = () =>
  new Option('--profile <file>', 'limits of the store (JSON), over the built-in ones');
const garmentsOption = () =>
  new Option('--garments <sheet.csv>', 'which frames belong to which garment, and the views each needs');
const groupOption = () =>
  new Option(
    '--group <by>',
    'without a sheet, tell garments apart by folders and names, or by photographed tags and capture times (default: the latter where the folder comes straight from the cards)',
  ).choices(['names', 'capture'] as const);
const clockOption = () =>
  new Option(
    '--clock <body=shift...>',
    'put the clock of a body right, as its name stands in the reports: "Maker M1 123=-1:00:00"',
  ).argParser(clockShift);
const decisionsOption = () =>
  new Option(
    '--decisions <sheet.csv>',
    'what people decided about findings; written with the open ones where it is not there yet (default: <delivery>-decisions.csv beside the delivery)',
  );
const workersOption = () =>
  new Option('--workers <n>', 'frames measured at once')
    .default(availableParallelism())
    .argParser(wholeNumber(1, mostWorkers));
export const frameTimeoutOption = () =>
  new Option('--frame-timeout <s>', 'longest time for one frame, in seconds')
    .default(60)
    .argParser(wholeNumber(1, longestTimeoutS));

/** The options that `check` and `watch` have in common, in the order of their help. */
export function withDeliveryOptions<Args extends unknown[], Options extends OptionValues>(
  command: Command<Args, Options>,
) {
  return command
    .requiredOption('--out <folder>', 'folder for the reports and for what was measured')
    .addOption(profileOption())
    .addOption(garmentsOption())
    .addOption(groupOption())
    .addOption(clockOption())
    .addOption(decisionsOption())
    .addOption(workersOption())
    .addOption(frameTimeoutOption());
}
