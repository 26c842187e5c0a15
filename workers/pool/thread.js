// Entry of every measuring thread: the module that `workerData` names has the work as its default export.
import '../typescript.js';
import { workerData } from 'piscina';

export default (await import(workerData)).default;
