// Compiles the kernels and writes them to the standard output: a process of its own, because under tsx, which reads over every module
// that is imported, the compiler takes half a minute instead of three seconds.
import { readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import asc from 'assemblyscript/asc';

const folder = fileURLToPath(new URL('assembly', import.meta.url));
/** What the kernels share: not to be called from outside. */
const shared = 'lanes.ts';
let kernels;
const { error, stderr } = await asc.main(
  [
    ...readdirSync(folder).filter((name) => name.endsWith('.ts') && name !== shared),
    ...['--baseDir', folder, '--outFile', 'kernels.wasm', '-O3', '--noAssert', '--runtime', 'stub'],
    ...['--enable', 'simd'],
  ],
  {
    writeFile: (_, contents) => {
      kernels = contents;
    },
  },
);
if (error !== null) throw new Error(`The loops of ${folder} were not compiled: ${stderr}`, { cause: error });
process.stdout.write(kernels);
