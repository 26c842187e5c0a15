/** What a cell of a patch may show. The order is the order of the planes in every array of parts. */
export const parts = ['cloth', 'skin', 'hair', 'shoe', 'bag', 'background'] as const;
export type Part = (typeof parts)[number];

export const partIndex = Object.fromEntries(parts.map((part, index) => [part, index])) as Readonly<
  Record<Part, number>
>;
