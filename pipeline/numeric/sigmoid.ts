/** Logistic function: a logit to a probability 0..1. */
export const sigmoid = (logit: number): number => 1 / (1 + Math.exp(-logit));
