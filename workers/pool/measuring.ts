/** What a measuring thread does in the product. The tests hand the pool a small module of the same shape. */
import { measureStep } from '../../pipeline/tasks/measure-step.ts';
import { threadWork } from './thread-work.ts';

export default threadWork(measureStep);
