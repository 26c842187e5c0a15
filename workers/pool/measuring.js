import { load } from '../compiled.js';

export default (await load('workers/pool/measuring.ts')).default;
