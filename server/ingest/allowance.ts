// How much each board may send: a whole outbox at once, and little for ever; beyond that it has to wait.
import type { Clock } from "../../shared/clock.ts";
import { msPerMinute } from "../../shared/units.ts";

export type Allowance = {
  /** Counts what a board sends; real time in ms that it has to wait before that is taken, most often 0. */
  take(board: string, bytes: number): number;
  /** For where nobody can be made to wait: false when this is to be left out, which costs the board nothing. */
  admits(board: string, bytes: number): boolean;
  /** How many messages were left out. */
  leftOut(): number;
  /** Boards that have to wait or are left out, or were a while ago. */
  tooFast(): string[];
};

export type AllowanceSettings = {
  clock: Clock;
  /** More than the largest outbox holds, so that no backlog is ever held up. */
  mostBytes?: number;
  /** Some thirty times what a board with sixteen cells sends. */
  bytesPerS?: number;
};

/** What a message costs beside its bytes: it is acknowledged, looked up and committed. */
const bytesPerMessage = 1000;
/** Below the silence after which a broker gives up a client. */
const mostWaitMs = 10_000;
const namedForMs = 10 * msPerMinute;
const mostBoards = 1000;

type Account = { leftBytes: number; atMs: number; waitedAtMs: number | undefined };

/** Many names are no way out of a debt: who had to wait is forgotten last. */
function makeRoom(accounts: Map<string, Account>): void {
  const names = [...accounts];
  const calm = names.find(([, { waitedAtMs }]) => waitedAtMs === undefined);
  accounts.delete((calm ?? names[0])?.[0] ?? "");
}

export function createAllowance(settings: AllowanceSettings): Allowance {
  const { clock, mostBytes = 250e6, bytesPerS = 20_000 } = settings;
  const accounts = new Map<string, Account>();
  let leftOut = 0;

  function accountOf(board: string, nowMs: number): Account {
    const known = accounts.get(board);
    if (known !== undefined) return known;
    if (accounts.size >= mostBoards) makeRoom(accounts);
    const account = { leftBytes: mostBytes, atMs: nowMs, waitedAtMs: undefined };
    accounts.set(board, account);
    return account;
  }

  function refilledAccountOf(board: string, nowMs: number): Account {
    const account = accountOf(board, nowMs);
    // A clock that was set back refills nothing, and takes nothing away.
    const sinceMs = Math.max(0, nowMs - account.atMs);
    const refilled = account.leftBytes + (sinceMs / 1000) * bytesPerS;
    return Object.assign(account, { atMs: nowMs, leftBytes: Math.min(mostBytes, refilled) });
  }

  return {
    take(board, bytes) {
      const nowMs = clock.nowMs();
      const account = refilledAccountOf(board, nowMs);
      const leftBytes = account.leftBytes - bytes - bytesPerMessage;
      // Who doesn't wait for its acknowledgements gets no deeper into debt than the longest wait.
      const waitS = Math.min(mostWaitMs / 1000, Math.max(0, -leftBytes) / bytesPerS);
      account.leftBytes = Math.max(leftBytes, -bytesPerS * (mostWaitMs / 1000));
      if (waitS > 0) account.waitedAtMs = nowMs;
      // A clock that runs fast refills fast.
      return (waitS * 1000) / clock.speed;
    },
    admits(board, bytes) {
      const nowMs = clock.nowMs();
      const account = refilledAccountOf(board, nowMs);
      const isAdmitted = account.leftBytes > 0;
      if (isAdmitted) account.leftBytes -= bytes + bytesPerMessage;
      else account.waitedAtMs = nowMs;
      leftOut += isAdmitted ? 0 : 1;
      return isAdmitted;
    },
    leftOut: () => leftOut,
    tooFast() {
      const nowMs = clock.nowMs();
      const isNamed = ({ waitedAtMs }: Account) =>
        waitedAtMs !== undefined && Math.abs(nowMs - waitedAtMs) < namedForMs;
      return [...accounts].flatMap(([board, account]) => (isNamed(account) ? [board] : [])).sort();
    },
  };
}
