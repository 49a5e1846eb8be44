// What a board has to know to publish here, for the first steps of an empty yard.
import { joiningSchema } from "../../shared/wire/joining.ts";
import type { HttpParts } from "./parts.ts";
import { type Route, route } from "./route.ts";

const usualPort = { mqtt: 1883, mqtts: 8883 };
const everyAddress = new Set(["0.0.0.0", "::", "[::]"]);

export function joiningRoutes({
  broker,
  areBoardsEnrolled,
}: Pick<HttpParts, "broker" | "areBoardsEnrolled">): Route[] {
  return [
    route({
      method: "get",
      path: "/joining",
      summary: "Address of the broker and whether boards need a secret",
      answer: joiningSchema,
      handle: () => ({
        ...brokerAt(broker.url()),
        ownBroker: broker.isOwn,
        enrolled: areBoardsEnrolled(),
      }),
    }),
  ];
}

/** The name and secret that a URL may carry are left out; a bare "::" is no URL's host. */
function brokerAt(address: string) {
  const tls = /^(mqtts|ssl):/.test(address);
  const [, bareHost, barePort] = /^\w+:\/\/(:.*):(\d+)$/.exec(address) ?? [];
  const { hostname, port } =
    bareHost === undefined ? new URL(address) : { hostname: bareHost, port: barePort ?? "" };
  return {
    host: everyAddress.has(hostname) ? null : hostname,
    port: port === "" ? usualPort[tls ? "mqtts" : "mqtt"] : Number(port),
    tls,
  };
}
