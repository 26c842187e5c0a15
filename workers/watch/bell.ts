/** A wait that something else can cut short. A ring while nobody waits is kept for the next wait. */
export interface Bell {
  ring(): void;
  wait(ms: number): Promise<void>;
}

export function createBell(): Bell {
  let rung = false;
  let wake: (() => void) | null = null;
  return {
    ring() {
      rung = true;
      wake?.();
    },
    async wait(ms) {
      if (!rung)
        await new Promise<void>((resolve) => {
          const timer = setTimeout(resolve, ms);
          wake = () => {
            clearTimeout(timer);
            resolve();
          };
        });
      wake = null;
      rung = false;
    },
  };
}
