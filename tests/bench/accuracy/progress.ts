// One line that says how far a long measurement is and how long it will take; nothing when nobody watches.

export function createProgress(total: number) {
  const startMs = performance.now();
  const isWatched = process.stderr.isTTY === true;
  let done = 0;
  let toldTenths = 0;
  return {
    /** Some of the total is done. */
    add(part: number): void {
      done += part;
      const share = Math.min(1, done / total);
      const elapsedS = (performance.now() - startMs) / 1000;
      const leftMin = Math.ceil((elapsedS * (1 - share)) / share / 60);
      const text = `${Math.floor(100 * share)} %, about ${leftMin} min left`;
      if (isWatched) process.stderr.write(`\r${text}    `);
      else if (Math.floor(10 * share) > toldTenths) {
        toldTenths = Math.floor(10 * share);
        console.error(text);
      }
    },
    clear(): void {
      if (isWatched) process.stderr.write("\r\u001b[K");
    },
  };
}
