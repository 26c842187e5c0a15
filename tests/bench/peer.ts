/** The technician's script as a process that answers one frame after the other. */
import { spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { z } from 'zod';

/** Debian's own: another one on the path would not see Debian's OpenCV. */
const python = '/usr/bin/python3';
const script = fileURLToPath(new URL('peer/technician.py', import.meta.url));

const answerSchema = z.object({
  cpuMs: z.number(),
  wallMs: z.number(),
  width: z.number(),
  height: z.number(),
  /** px: left, top, width, height. */
  people: z.array(z.tuple([z.number(), z.number(), z.number(), z.number()])),
});
export type PeerAnswer = z.infer<typeof answerSchema>;

export interface Peer {
  lookAt(path: string): Promise<PeerAnswer>;
  close(): void;
}

/** `null` where Python has no OpenCV. */
export function startPeer(): Peer | null {
  if (spawnSync(python, ['-c', 'import cv2']).status !== 0) return null;
  // The product's own tuning of memory is not the script's.
  const { GLIBC_TUNABLES: _, ...env } = process.env;
  const child = spawn(python, [script], { env, stdio: ['pipe', 'pipe', 'inherit'] });
  const lines = createInterface({ input: child.stdout });
  const ended = once(lines, 'close').then((): never => {
    throw new Error('The script of tests/bench/peer ended early.');
  });
  ended.catch(() => undefined);
  return {
    async lookAt(path) {
      const line = once(lines, 'line');
      child.stdin.write(`${path}\n`);
      const [text] = (await Promise.race([line, ended])) as [string];
      return answerSchema.parse(JSON.parse(text));
    },
    close: () => {
      child.stdin.end();
    },
  };
}
