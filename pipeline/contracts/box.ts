import { z } from 'zod';

/** `[x, y, width, height]` as shares (0..1) of the upright frame, origin at the top left. */
export const boxSchema = z.tuple([z.number(), z.number(), z.number(), z.number()]).readonly();
export type Box = z.infer<typeof boxSchema>;

export const sameBox = (a: Box, b: Box): boolean => a.every((side, index) => side === b[index]);

/** `[x, y]` as shares (0..1) of the upright frame, origin at the top left. */
export const pointSchema = z.tuple([z.number(), z.number()]).readonly();
export type Point = z.infer<typeof pointSchema>;
