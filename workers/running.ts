/** Whether a process of that number is running on this machine. */
export function isRunning(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    // EPERM: it is there and belongs to somebody else.
    return error instanceof Error && 'code' in error && error.code === 'EPERM';
  }
}
