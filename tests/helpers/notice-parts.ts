// What the HTTP side needs of notices to people, over a rig's real store.
import { createNoticePeopleStore } from "../../server/db/notice-people.ts";
import type { PeopleSettings } from "../../server/db/people-settings.ts";
import { createPostman } from "../../server/notify/postman.ts";
import { pushKeysIn } from "../../server/notify/push-keys.ts";
import type { openRig } from "./store-rig.ts";

export function noticePartsOf(
  rig: ReturnType<typeof openRig>,
  { notices }: Pick<PeopleSettings, "notices">,
) {
  const noticePeople = createNoticePeopleStore(rig.sqlite);
  const pushKeys = () => pushKeysIn(rig.settings);
  const postman = createPostman({
    ...{ ...rig, people: noticePeople, notices, pushKeys },
    timeZone: () => "America/Toronto",
  });
  return { noticePeople, postman, pushKey: () => pushKeys().publicKey };
}
