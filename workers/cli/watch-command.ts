/** The command that judges frames while they are shot. */
import type { Command } from '@commander-js/extra-typings';
import type { DeliveryOptions } from './asked-delivery.ts';
import { withDeliveryOptions } from './delivery-options.ts';

const watchHelp = `
Examples:
  nightrail watch ./today --out ./today-report
  nightrail watch /media/card/DCIM --out ./today-report --profile store.json

Frames are judged as they are copied in; open index.html or the page of the garment in hand, it renews itself.
Ctrl-C once ends the watch: what has arrived is judged and every document is written, as check would. Twice stops
at once; nothing measured is lost.

Exit status: as check, by the garments as they are at the end.`;

export function addWatch(
  program: Command,
  { watch }: { watch(options: DeliveryOptions): Promise<void> },
): void {
  const command = program
    .command('watch')
    .summary('judge frames on set as they arrive')
    .description(
      'Judges each frame of a folder as it arrives, keeps the garment’s page up to date, and says what is still missing for the garment in hand and what to shoot again.',
    )
    .argument('<folder>', 'folder that the frames are copied into; each folder in it is a garment');
  withDeliveryOptions(command)
    .addHelpText('after', watchHelp)
    .action((delivery, { frameTimeout, ...options }) =>
      watch({ delivery, frameTimeoutS: frameTimeout, ...options }),
    );
}
