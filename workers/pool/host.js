import { load } from '../compiled.js';

await load('workers/pool/host.ts');
