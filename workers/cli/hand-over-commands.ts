/** Commands that come after a check. */
import type { Command } from '@commander-js/extra-typings';
import type { PackageCommandOptions } from './package.ts';
import type { PreviewOptions } from './preview.ts';
import type { RecheckOptions } from './recheck.ts';

export interface HandOverCommands {
  package(options: PackageCommandOptions): Promise<void>;
  preview(options: PreviewOptions): Promise<void>;
  recheck(options: RecheckOptions): Promise<void>;
}

const packageHelp = `
Examples:
  nightrail package ./shoot --report ./report --to ./for-the-store
  nightrail package ./shoot --report ./report --to ./for-the-store --name "{sku}_{view}_{n}" --long-edge 2400

A name can hold {garment}, {n}, {view}, {crop}, {file} and every further column of the garment sheet; / makes
folders. Without --long-edge the files are copied byte for byte. The originals are only read.`;

export function addPackage(program: Command, commands: HandOverCommands, px: (text: string) => number): void {
  program
    .command('package')
    .summary('copy the frames that pass under the store’s names')
    .description('Copies the frames that pass, with a manifest of their SHA-256 sums.')
    .argument('<delivery>', 'folder of the shoot day')
    .requiredOption('--report <folder>', 'output folder of its check')
    .requiredOption('--to <folder>', 'new or empty folder for the package')
    .option('--name <pattern>', 'names of the files (default: {garment}/{garment}_{n}_{view})')
    .option('--long-edge <px>', 'make JPEGs in sRGB with at most this long edge', px)
    .addHelpText('after', packageHelp)
    .action((delivery, options) => commands.package({ delivery, ...options }));
}

export function addPreview(program: Command, commands: HandOverCommands): void {
  program
    .command('preview')
    .summary('make a moving preview of each garment')
    .description('Makes one animated WebP a garment, at most 1.5 MB, from the frames that pass.')
    .argument('<report>', 'output folder of a check')
    .option('--gif', 'a GIF beside each', false)
    .action((report, options) => commands.preview({ report, ...options }));
}

const recheckHelp = `
Example:
  nightrail recheck ./back-from-the-retoucher --report ./report

Each file is matched to its frame by name. Exit status: 0 where everything is cleared and nothing is new, 1 otherwise.`;

export function addRecheck(
  program: Command,
  commands: HandOverCommands,
  workers: (text: string) => number,
  usualWorkers: number,
): void {
  program
    .command('recheck')
    .summary('see what the retoucher cleared')
    .description(
      'Measures retouched files again and says for each finding whether it is cleared, still there, or new.',
    )
    .argument('<retouched>', 'folder of retouched files')
    .requiredOption('--report <folder>', 'output folder of the check they come from')
    .option('--profile <file>', 'the profile of that check, where it had one')
    .option('--workers <n>', 'frames measured at once', workers, usualWorkers)
    .addHelpText('after', recheckHelp)
    .action((retouched, options) => commands.recheck({ retouched, ...options }));
}
