import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Redis } from 'ioredis';
import { parseRedisUrl } from '../../workers/queue/connection.ts';

const binary = '/usr/bin/redis-server';

export interface RedisServer {
  readonly url: string;
  /** Process number while it runs. */
  pid(): number;
  /** Ends it at once, as a power cut would. */
  kill(): Promise<void>;
  /** Starts it again on what it kept. */
  restart(): Promise<void>;
  dispose(): Promise<void>;
}

export interface RedisSettings {
  /** Keep every command on disk (append-only file). */
  readonly durable?: boolean;
  readonly extra?: readonly string[];
}

/** A real Redis of this test's own, on a socket in a folder of its own: no port that could clash. */
export async function startRedis({ durable = false, extra = [] }: RedisSettings = {}): Promise<RedisServer> {
  if (!existsSync(binary))
    throw new Error(`${binary} is missing. As root: apt-get update && apt-get install -y redis-server`);
  const folder = mkdtempSync(join(tmpdir(), 'nightrail-redis-'));
  const socket = join(folder, 's');
  const persistence = durable ? ['--appendonly', 'yes', '--appendfsync', 'everysec'] : ['--save', ''];
  const args = ['--port', '0', '--unixsocket', socket, '--dir', folder, '--maxmemory-policy', 'noeviction'];
  let child: ChildProcess | undefined;

  async function start(): Promise<void> {
    const server = spawn(binary, [...args, ...persistence, ...extra], {
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    child = server;
    await new Promise<void>((resolve, reject) => {
      let said = '';
      server.stdout.on('data', (chunk) => {
        said += String(chunk);
        if (said.includes('eady to accept')) resolve();
      });
      server.once('exit', () => reject(new Error(`redis-server did not start:\n${said}`)));
    });
  }

  async function kill(): Promise<void> {
    const server = child;
    if (server === undefined || server.exitCode !== null || server.signalCode !== null) return;
    const gone = new Promise((resolve) => server.once('exit', resolve));
    server.kill('SIGKILL');
    await gone;
  }

  await start();
  return {
    url: `unix://${socket}`,
    pid: () => child?.pid ?? 0,
    kill,
    restart: start,
    async dispose() {
      await kill();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** What Redis does when its clock jumps forward: everything that would have expired within the jump is gone. */
export async function expireAll(url: string, withinMs: number): Promise<void> {
  const redis = new Redis(parseRedisUrl(url).options);
  for (const key of await redis.keys('*')) {
    const leftMs = await redis.pttl(key);
    if (leftMs >= 0 && leftMs < withinMs) await redis.pexpire(key, 1);
  }
  redis.disconnect();
}
