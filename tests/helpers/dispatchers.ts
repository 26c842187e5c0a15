import pino from 'pino';
import type { Dispatcher } from '../../pipeline/contracts/work.ts';
import { createPoolDispatcher } from '../../workers/pool/dispatcher.ts';
import { scriptedVersion } from './scripts.ts';

export interface DispatcherSetting {
  readonly cache: string;
  readonly threads?: number;
  readonly frameTimeoutMs?: number;
  /** Module of the threads' work. */
  readonly work?: string;
}

const heapPerThreadMb = 160;
const scriptedWork = new URL('./scripted-work.ts', import.meta.url).href;

/** A pool whose threads do what each frame's script says. */
export function scriptedPool(setting: DispatcherSetting): Dispatcher {
  const threads = setting.threads ?? 2;
  return createPoolDispatcher({
    cache: setting.cache,
    version: scriptedVersion,
    budget: { threads, heapPerThreadMb, environment: {} },
    frameTimeoutMs: setting.frameTimeoutMs ?? 30_000,
    log: pino({ level: 'silent' }),
    work: setting.work ?? scriptedWork,
  });
}

/** Every adapter of the dispatch port: one suite runs against them all. */
export const adapters = [{ name: 'pool', open: scriptedPool }] as const;
