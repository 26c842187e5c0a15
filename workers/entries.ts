/** Every file that starts as a process or a thread of its own, named in one place. */
import { fileURLToPath } from 'node:url';

const here = (path: string): string => fileURLToPath(new URL(path, import.meta.url));

export const entries = {
  /** Process that holds the measuring threads. */
  poolHost: here('./pool/host.js'),
  /** Thread of that process. */
  poolThread: here('./pool/thread.js'),
  /** What a thread does: a module URL whose default export takes a FrameTask. */
  measuring: new URL('./pool/measuring.js', import.meta.url).href,
} as const;
