// The sources as JavaScript, compiled when a command first meets them: to run them through tsx costs each of the three starts
// (command, measuring process, thread) about half a second. The build lies in node_modules/.cache, one folder a state of the
// sources, and is made by the esbuild that tsx brings along; nothing is fetched. Where it cannot be made, tsx runs the sources.
import { createHash, randomUUID } from 'node:crypto';
import {
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  utimesSync,
} from 'node:fs';
import { fileURLToPath, pathToFileURL } from 'node:url';

const root = fileURLToPath(new URL('..', import.meta.url));
const builds = `${root}node_modules/.cache/nightrail`;
/** Everything that is started or imported by name. Each becomes a file of the same name; what they share, a file of its own. */
const entries = ['workers/main.ts', 'workers/pool/host.ts', 'workers/pool/measuring.ts'];
const sourceFolders = ['pipeline', 'workers'];
/** A library of many files that every start needs: bundled too, as one file loads sooner than a hundred. */
const bundled = ['zod'];
/** Tells the processes and threads that a command starts where its build is. */
const told = 'NIGHTRAIL_BUILD';
/** A command that runs for days still loads parts of its build. */
const keptMs = 30 * 24 * 3600 * 1000;

function sources() {
  return sourceFolders.flatMap((folder) =>
    readdirSync(root + folder, { recursive: true, withFileTypes: true })
      .filter(({ name }) => /\.tsx?$/.test(name))
      .map(({ parentPath, name }) => `${parentPath}/${name}`),
  );
}

/** What tells one state of the sources and of the libraries from another. */
function stateOf(files) {
  const hash = createHash('sha256').update(process.version);
  for (const path of [
    ...files,
    `${root}package.json`,
    `${root}tsconfig.json`,
    fileURLToPath(import.meta.url),
  ]) {
    const { size, mtimeMs } = statSync(path);
    hash.update(`${path}\0${size}\0${mtimeMs}\0`);
  }
  return hash.digest('hex').slice(0, 16);
}

/** Compiled code lies elsewhere than its sources, which find models, samples and each other by where they are. */
const ownPlaces = {
  name: 'own-places',
  setup({ onLoad }) {
    onLoad({ filter: /\.tsx?$/ }, ({ path }) => ({
      contents: readFileSync(path, 'utf8').replaceAll(
        'import.meta.url',
        JSON.stringify(pathToFileURL(path).href),
      ),
      loader: path.endsWith('x') ? 'tsx' : 'ts',
    }));
  },
};

async function compile(build) {
  const { build: bundle } = await import('esbuild');
  const { dependencies } = JSON.parse(readFileSync(`${root}package.json`, 'utf8'));
  const making = `${builds}/${randomUUID()}.tmp`;
  await bundle({
    absWorkingDir: root,
    entryPoints: entries,
    outbase: root,
    outdir: making,
    bundle: true,
    splitting: true,
    external: Object.keys(dependencies).filter((name) => !bundled.includes(name)),
    // Node would have to compile a file of any other name to see that it is a module.
    outExtension: { '.js': '.mjs' },
    platform: 'node',
    format: 'esm',
    target: 'node20',
    plugins: [ownPlaces],
    logLevel: 'silent',
  });
  try {
    renameSync(making, build);
  } catch (error) {
    // Another command was first.
    rmSync(making, { recursive: true, force: true });
    if (!existsSync(build)) throw error;
  }
}

function forgetOld(nowMs) {
  for (const name of readdirSync(builds)) {
    const path = `${builds}/${name}`;
    if (nowMs - statSync(path).mtimeMs > keptMs) rmSync(path, { recursive: true, force: true });
  }
}

/** @returns the folder of the build, `null` where there can be none. */
async function upToDate() {
  try {
    const build = `${builds}/${stateOf(sources())}`;
    if (existsSync(build)) {
      const now = new Date();
      utimesSync(build, now, now);
      return build;
    }
    mkdirSync(builds, { recursive: true });
    forgetOld(Date.now());
    await compile(build);
    return build;
  } catch {
    // A folder that may only be read, a full disk: no reason not to run.
    return null;
  }
}

/** The build that the command runs which started this process or thread; `null` in the command itself. */
function fromStarter() {
  const build = process.env[told];
  return build?.startsWith(builds) && existsSync(build) ? build : null;
}

/**
 * @param source one of the entries.
 * @returns its exports.
 */
export async function load(source) {
  const build = fromStarter() ?? (await upToDate());
  if (build !== null) {
    process.env[told] = build;
    return import(pathToFileURL(`${build}/${source.replace(/\.ts$/, '.mjs')}`).href);
  }
  await import('./typescript.js');
  return import(new URL(`../${source}`, import.meta.url).href);
}
