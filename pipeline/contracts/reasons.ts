import { z } from 'zod';

/** Why a quantity of the section is `null`: quantity name to one plain sentence. Empty when all were measured. */
export const reasonsSchema = z.record(z.string(), z.string());
