// Entry of every measuring thread: the module that `workerData` names has the work as its default export.
import { workerData } from 'piscina';

// A thread does not inherit the hooks of its process on Node 20.
if (workerData.endsWith('.ts')) await import('../typescript.js');

export default (await import(workerData)).default;
