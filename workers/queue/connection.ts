import { Redis } from 'ioredis';
import { codedError } from '../../pipeline/errors.ts';

/** BullMQ's scripts use commands of this version (its own documentation recommends it). */
const oldestRedis = [6, 2] as const;
const connectTimeoutMs = 10_000;
/** Between two tries to reach a Redis that went away. */
const retryMs = { first: 100, longest: 2000 };

/** The few settings that a URL gives and that our waiting needs; BullMQ and ioredis both take them. */
interface Settings {
  readonly host?: string;
  readonly port?: number;
  readonly path?: string;
  readonly db: number;
  readonly username?: string;
  readonly password?: string;
  readonly tls?: { readonly servername: string };
}

interface WaitingSettings extends Settings {
  readonly maxRetriesPerRequest: null;
  readonly enableAutoPipelining: true;
  readonly retryStrategy: (times: number) => number;
}

export interface RedisAddress {
  readonly options: Settings;
  /** Without user and password: for people and logs. */
  readonly shown: string;
}

/** @throws CodedError `redis-url-wrong`; the sentence never repeats the URL, which may hold a password. */
export function parseRedisUrl(text: string): RedisAddress {
  if (!URL.canParse(text)) throw codedError('redis-url-wrong', { what: 'it is not a URL' });
  const url = new URL(text);
  const user = decodeURIComponent(url.username);
  const password = decodeURIComponent(url.password);
  const credentials = {
    ...(user === '' ? {} : { username: user }),
    ...(password === '' ? {} : { password }),
  };
  const database = (text: string): number => {
    if (!/^\d*$/.test(text))
      throw codedError('redis-url-wrong', { what: 'the part after the last / must be a number' });
    return Number(text);
  };
  if (url.protocol === 'unix:') {
    const path = decodeURIComponent(url.pathname);
    const db = database(url.searchParams.get('db') ?? '');
    return { options: { path, db, ...credentials }, shown: `unix://${path}` };
  }
  if (url.protocol !== 'redis:' && url.protocol !== 'rediss:')
    throw codedError('redis-url-wrong', { what: 'it does not begin with redis://, rediss:// or unix://' });
  if (url.hostname === '') throw codedError('redis-url-wrong', { what: 'it names no host' });
  const db = database(url.pathname.replace(/^\//, ''));
  const port = url.port === '' ? 6379 : Number(url.port);
  const host = url.hostname.replace(/^\[(.*)\]$/, '$1');
  const tls = url.protocol === 'rediss:' ? { tls: { servername: host } } : {};
  return {
    options: { host, port, db, ...credentials, ...tls },
    shown: `${url.protocol}//${url.hostname}:${port}/${db}`,
  };
}

/** For whoever waits for Redis to come back: workers, and a submitter that follows its delivery. */
export function patient({ options }: RedisAddress): WaitingSettings {
  return {
    ...options,
    // BullMQ's workers ask for it: a command waits for the connection for as long as it takes.
    maxRetriesPerRequest: null,
    enableAutoPipelining: true,
    retryStrategy: (times) => Math.min(retryMs.first * 2 ** Math.min(times, 10), retryMs.longest),
  };
}

function unfitness(info: string): string | null {
  const field = (name: string): string | undefined => new RegExp(`^${name}:(.*?)\r?$`, 'm').exec(info)?.[1];
  const version = field('redis_version') ?? '0';
  const [major = 0, minor = 0] = version.split('.').map(Number);
  if (major < oldestRedis[0] || (major === oldestRedis[0] && minor < oldestRedis[1]))
    return `it is version ${version}, and ${oldestRedis.join('.')} or later is needed`;
  const policy = field('maxmemory_policy');
  if (policy !== undefined && policy !== 'noeviction')
    return `its maxmemory-policy is ${policy}, so it may throw frames of the queue away; set it to noeviction`;
  if (field('role') === 'slave') return 'it is a replica, which cannot be written to; name the primary';
  return null;
}

/**
 * Connects once and looks whether this Redis can hold the queue.
 *
 * @throws CodedError `redis-not-reached` or `redis-unfit`.
 */
export async function checkRedis({ options, shown }: RedisAddress): Promise<void> {
  const redis = new Redis({
    ...options,
    lazyConnect: true,
    connectTimeout: connectTimeoutMs,
    maxRetriesPerRequest: 0,
    retryStrategy: () => null,
  });
  // Without a listener the first refusal would end the process.
  let refusal: Error | undefined;
  redis.on('error', (error: Error) => {
    refusal = error;
  });
  try {
    await redis.connect();
    const what = unfitness(await redis.info());
    if (what !== null) throw codedError('redis-unfit', { redis: shown, what });
  } catch (error) {
    if (error instanceof Error && error.name === 'CodedError') throw error;
    const cause = refusal ?? error;
    const message = cause instanceof Error ? cause.message : String(cause);
    throw codedError('redis-not-reached', { redis: shown, what: message }, cause);
  } finally {
    redis.disconnect();
  }
}
