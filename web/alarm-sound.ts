// Sounds, and shows a notice of the system, when an alarm rises that wasn't there before, if this browser is set to.
import { useEffect, useRef, useState } from "preact/hooks";
import type { AlarmView } from "../shared/wire/api.ts";
import { browserKeep, isSoundOn } from "./browser-settings.ts";
import { createSound } from "./sound.ts";
import { askToShow, showRisen } from "./system-notice.ts";

export type AlarmSound = { on: boolean; setOn: (on: boolean) => void };

/** The open alarms that nobody has seen and that press. */
export function soundingIds(alarms: AlarmView[]): number[] {
  return alarms
    .filter(({ clearedAtMs, seenAtMs }) => clearedAtMs === null && seenAtMs === null)
    .filter(({ severity }) => severity !== "advice")
    .map(({ id }) => id);
}

/** Whether an alarm rose since the last look; the first look is never news. */
export function isNews(before: ReadonlySet<number> | undefined, ids: number[]): boolean {
  return before !== undefined && ids.some((id) => !before.has(id));
}

export function useAlarmSound(alarms: AlarmView[], paused: boolean): AlarmSound {
  const keep = browserKeep();
  const [on, setOnState] = useState(isSoundOn(keep));
  const sound = useRef(createSound());
  const known = useRef<ReadonlySet<number> | undefined>(undefined);
  useEffect(() => {
    if (!on) return;
    const allow = () => sound.current?.allow();
    addEventListener("pointerdown", allow, { once: true });
    addEventListener("keydown", allow, { once: true });
    return () => {
      removeEventListener("pointerdown", allow);
      removeEventListener("keydown", allow);
    };
  }, [on]);
  useEffect(() => {
    const ids = soundingIds(alarms);
    const before = known.current ?? undefined;
    if (on && !paused && before !== undefined && isNews(before, ids)) {
      sound.current?.play();
      const risen = alarms.filter(({ id }) => ids.includes(id) && !before.has(id));
      showRisen(risen).catch(() => undefined);
    }
    known.current = new Set(ids);
  }, [alarms, on, paused]);
  const setOn = (next: boolean) => {
    keep.setItem("sound", next ? "on" : "off");
    setOnState(next);
    if (next) {
      sound.current?.allow();
      sound.current?.play();
      askToShow().catch(() => undefined);
    }
  };
  return { on, setOn };
}
