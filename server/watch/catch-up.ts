// Takes a bucket's track from the last reading gone through up to the newest one stored.
import type { Clock } from "../../shared/clock.ts";
import type { Boards } from "../db/boards.ts";
import type { Hanging } from "../db/hangings.ts";
import type { Readings } from "../db/readings.ts";
import type { Tracks } from "../db/tracks.ts";
import type { BucketReading, FlowEvent, Slot } from "../domain/bucket.ts";
import {
  advanceTrack,
  rehangTrack,
  startTrack,
  trackFromJson,
  trackToJson,
} from "../domain/track.ts";
import { asHeard, nextPiece, type Piece, pieceReadings } from "./pieces.ts";
import { setupAt, type Watched } from "./watched.ts";

export type CatchUpParts = {
  clock: Clock;
  readings: Readings;
  boards: Boards;
  tracks: Tracks;
  timeZone: () => string;
  /** Called at every half hour of the readings' own time, and at the end of each piece. */
  onMoment: (watched: Watched, atMs: number) => void;
  onEvent: (watched: Watched, event: FlowEvent) => void;
  onSlot: (watched: Watched, slot: Slot) => void;
};

const momentMs = 30 * 60_000;
const newestMs = Number.MAX_SAFE_INTEGER;
const checkpointEveryMs = 6 * 3_600_000;

export type CatchUp = ReturnType<typeof createCatchUp>;

export function createCatchUp(parts: CatchUpParts) {
  const { tracks } = parts;

  const resume = (watched: Watched) => resumeAt(tracks, watched, newestMs);

  /** Puts a bucket back to before `fromMs` and forgets what came of the readings since. */
  function rewind(watched: Watched, fromMs: number): void {
    resumeAt(tracks, watched, fromMs);
    if (watched.againFromMs === 0) resumeAt(tracks, watched, 0);
    tracks.forgetAfter(watched.bucket.id, watched.checkpointMs);
  }

  /** The next readings up to now; when the first later one is due is kept. */
  function nextUntilNow(watched: Watched): Piece | undefined {
    const { hangings, track } = watched;
    const stored = nextPiece(parts.readings, { hangings, afterMs: track.atMs ?? 0 });
    const piece = stored && upTo(stored, Math.max(parts.clock.nowMs(), watched.judgedMs));
    watched.waitsForMs = stored?.readings[piece?.readings.length ?? 0]?.atMs;
    return piece?.readings.length === 0 ? undefined : piece;
  }

  /** Goes through the next piece of readings; true when there may be more. */
  function advance(watched: Watched): boolean {
    if (watched.againFromMs !== undefined) {
      rewind(watched, watched.againFromMs);
      watched.againFromMs = undefined;
    }
    const piece = nextUntilNow(watched);
    if (piece === undefined) return false;
    if (piece.hanging.id !== watched.track.hangingId) {
      watched.track = rehangTrack(watched.track, piece.hanging.id);
    }
    for (const reading of asHeard(parts, piece)) goThrough(watched, reading, piece.hanging);
    return piece.readings.length === pieceReadings || piece.hanging !== watched.hangings.at(-1);
  }

  function goThrough(watched: Watched, reading: BucketReading, hanging: Hanging): void {
    const { id } = watched.bucket;
    const beforeMs = watched.track.atMs ?? 0;
    const setup = setupAt(watched, hanging, reading.atMs);
    const step = advanceTrack(watched.track, reading, setup);
    watched.track = step.track;
    for (const slot of step.slots) {
      tracks.insertSlot(id, slot);
      parts.onSlot(watched, slot);
    }
    for (const event of step.events) {
      tracks.insertEvent(id, event);
      parts.onEvent(watched, event);
    }
    if (Math.floor(reading.atMs / momentMs) > Math.floor(beforeMs / momentMs)) {
      parts.onMoment(watched, reading.atMs);
    }
    if (step.slots.length > 0) writeCheckpoint(tracks, watched, reading.atMs);
  }

  return { resume, advance };
}

/**
 * Without what a clock that is ahead dated later than now: it would stand for now until its time has come. What was
 * gone through before stays, also where the server's clock is set back.
 */
function upTo({ hanging, readings }: Piece, untilMs: number): Piece {
  return { hanging, readings: readings.filter(({ atMs }) => atMs <= untilMs) };
}

/**
 * Takes up a bucket at its last checkpoint before `fromMs`. One that was reckoned in another way counts for nothing: all
 * that is stored is gone through again.
 */
function resumeAt(tracks: Tracks, watched: Watched, fromMs: number): void {
  const checkpoint = tracks.checkpointBefore(watched.bucket.id, fromMs);
  const track = checkpoint && trackFromJson(checkpoint.track);
  watched.track = track ?? startTrack();
  watched.checkpointMs = track === undefined ? 0 : (checkpoint?.atMs ?? 0);
  if (checkpoint !== undefined && track === undefined) watched.againFromMs = 0;
}

function writeCheckpoint(tracks: Tracks, watched: Watched, atMs: number): void {
  if (atMs - watched.checkpointMs < checkpointEveryMs) return;
  const track = trackToJson(watched.track);
  tracks.insertCheckpoint(watched.bucket.id, { atMs, track });
  tracks.thinCheckpoints(watched.bucket.id, atMs - 3 * 24 * 3_600_000);
  watched.checkpointMs = atMs;
}
