/** What the machine itself gains from a second process: the bare work of `machine-process.ts`, which shares nothing, in one and in two at once. */
import { type ChildProcess, fork } from 'node:child_process';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';

const program = fileURLToPath(new URL('machine-process.ts', import.meta.url));

async function told(child: ChildProcess): Promise<number> {
  const [message] = await once(child, 'message');
  return Number(message);
}

/** Frames a second of so many processes at once, each on its own copy of the JPEG, begun together when all are warm. */
export async function machineRate(path: string, processes: number): Promise<number> {
  const children = Array.from({ length: processes }, () => fork(program, [path]));
  await Promise.all(children.map(told));
  const rates = children.map(told);
  for (const child of children) child.send('begin');
  return (await Promise.all(rates)).reduce((sum, rate) => sum + rate, 0);
}
