// Loaded into a process before everything else: its wall clock is wrong by what the file named in CLOCK_SHIFT_FILE says, in ms,
// as a machine's is whose time is set while it works. Timers and the monotonic clock go on as they are.
import { readFileSync } from 'node:fs';

const RealDate = Date;
let shiftMs = 0;
setInterval(() => {
  try {
    shiftMs = Number(readFileSync(process.env.CLOCK_SHIFT_FILE, 'utf8'));
  } catch {
    // Nobody has set the clock yet.
  }
}, 20).unref();

globalThis.Date = class extends RealDate {
  constructor(...given) {
    if (given.length === 0) super(RealDate.now() + shiftMs);
    else super(...given);
  }
  static now() {
    return RealDate.now() + shiftMs;
  }
};
