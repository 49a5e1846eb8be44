// Browsers that get a person's notices with the page closed, as an owner adds and removes them.
import {
  browserPostSchema,
  noticePersonSchema,
  pushKeySchema,
} from "../../shared/wire/notice-people.ts";
import { pushChannel } from "../notify/person-channels.ts";
import { noticePersonView, personId } from "./notice-people.ts";
import { requireUrl } from "./notices.ts";
import type { HttpParts } from "./parts.ts";
import { type Route, route } from "./route.ts";

type Parts = Pick<HttpParts, "noticePeople" | "postman" | "pushKey">;

export function noticeBrowserRoutes({ noticePeople, postman, pushKey }: Parts): Route[] {
  return [
    route({
      method: "get",
      path: "/push-key",
      summary: "The public key that a browser subscribes to push with (VAPID)",
      mayUse: "owner",
      answer: pushKeySchema,
      handle: () => ({ publicKey: pushKey() }),
    }),
    route({
      method: "post",
      path: "/notice-people/{id}/browsers",
      summary:
        "Send a person's notices to a browser too; the same browser again takes its own place",
      body: browserPostSchema,
      answer: noticePersonSchema,
      status: 201,
      handle: ({ id, body }) => {
        const person = noticePeople.findPerson(personId(id));
        requireUrl("subscription.endpoint", body.subscription.endpoint, ["https:"]);
        noticePeople.insertBrowser(person.id, body);
        return noticePersonView(noticePeople.findPerson(person.id), postman);
      },
    }),
    route({
      method: "delete",
      path: "/notice-browsers/{id}",
      summary: "Push no more notices to a browser; its id is the number of its way",
      handle: ({ id }) => {
        const key = personId(id);
        const owner = noticePeople.listBrowsers().find((browser) => browser.id === key);
        noticePeople.removeBrowser(key);
        if (owner !== undefined) noticePeople.dropChannel(owner.personId, pushChannel(key));
      },
    }),
  ];
}
