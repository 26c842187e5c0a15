// Loaded into a process before everything else: its wall clock jumps by up to an hour back and forth, as a machine's does
// whose time is set while it works. Timers and the monotonic clock go on as they are.
const real = Date.now;
let shiftMs = 0;
setInterval(() => {
  shiftMs = Math.round((Math.random() - 0.5) * 2 * 3_600_000);
}, 300).unref();
Date.now = () => real() + shiftMs;
