// What people set in the page: the yard, and where notices go.
import { type Notices, type YardSettings, yardSettingsSchema } from "../../shared/wire/api.ts";
import type { Settings } from "./settings.ts";

export type PeopleSettings = ReturnType<typeof createPeopleSettings>;

/** What holds until a person says otherwise. */
export const firstYardSettings: YardSettings = {
  name: "My yard",
  latitude: null,
  longitude: null,
  altitudeM: null,
  timeZone: null,
  units: "metric",
  visitTimes: null,
  tripLeadMin: 60,
  warnProbability: 0.15,
  quietFrom: "22:00",
  quietUntil: "06:30",
  wakeMe: false,
  tapGuideline: "careful",
  holeZone: "proctor",
};

const firstNotices: Notices = { email: null, webhook: null };

export function createPeopleSettings(settings: Pick<Settings, "getSetting" | "setSetting">) {
  return {
    /** Fields that a newer version added have their first value until they are set. */
    yard(): YardSettings {
      const stored = settings.getSetting("yard");
      return yardSettingsSchema.parse({ ...firstYardSettings, ...(stored as object | undefined) });
    },
    setYard(yard: YardSettings): void {
      settings.setSetting("yard", yard);
    },
    notices(): Notices {
      return (settings.getSetting("notices") as Notices | undefined) ?? firstNotices;
    },
    setNotices(notices: Notices): void {
      settings.setSetting("notices", notices);
    },
  };
}
