// Who may publish and subscribe to what.
import {
  type BoardTopicKind,
  boardTopicParts,
  forecastTopic,
  topicPrefix,
} from "../../shared/wire/topics.ts";
import type { CredentialKind } from "../db/credentials.ts";

/** "open" is anyone on this machine while no board is enrolled. */
export type Identity = {
  name: string;
  kind: CredentialKind | "open";
  /** Of the secret it showed: with another one enrolled since, it is nobody. */
  hash?: string;
};

const boardPublishes: readonly BoardTopicKind[] = ["readings", "presence", "answers"];

/** Undefined when allowed, else what was expected. */
export function publishProblem(identity: Identity, topic: string): string | undefined {
  if (topic === forecastTopic) {
    if (identity.kind === "forecaster" || identity.kind === "open") return undefined;
    return `publishing ${topic} requires a forecaster, got ${identity.kind} ${identity.name}`;
  }
  const parts = boardTopicParts(topic);
  if (parts === undefined || !boardPublishes.includes(parts.kind)) {
    return `publishing requires ${topicPrefix}/<board>/readings, presence or answers, got ${topic.slice(0, 120)}`;
  }
  if (identity.kind === "open") return undefined;
  if (identity.kind === "board" && identity.name === parts.board) return undefined;
  return `publishing requires the topics of ${identity.kind} ${identity.name}, got ${topic}`;
}

export function maySubscribe(identity: Identity, filter: string): boolean {
  if (filter.startsWith("$")) return false;
  switch (identity.kind) {
    case "open":
    case "reader":
      return true;
    case "board":
      return isUnder(filter, identity.name) || isUnder(filter, "alarms");
    case "forecaster":
      return filter === forecastTopic;
  }
}

function isUnder(filter: string, name: string): boolean {
  return filter.startsWith(`${topicPrefix}/${name}/`);
}
