/** The function that makes its value for each key at the first call with it and keeps it; what else it needs belongs to the key. */
export function onceEach<Rest extends unknown[], T>(
  make: (key: string, ...rest: Rest) => T,
): (key: string, ...rest: Rest) => T {
  const made = new Map<string, T>();
  return (key, ...rest) => {
    const known = made.get(key) ?? make(key, ...rest);
    made.set(key, known);
    return known;
  };
}
