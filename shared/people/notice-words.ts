// Words of the ways by which notices reach people.

/** "e-mail", "web address", "push to a browser". */
export function wayWords(channel: string): string {
  if (channel === "email") return "e-mail";
  return channel === "webhook" ? "web address" : "push to a browser";
}
