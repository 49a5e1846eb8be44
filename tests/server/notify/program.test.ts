// From what is wrong to a person who is told, by the program itself, through its restart.
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, expect, test } from "vitest";
import { createAsking } from "../../helpers/http-asking.ts";
import { spawnServer } from "../../helpers/mqtt-server.ts";
import { atEnd, closeAll, hook, openReceiver, person, status } from "../../helpers/notice-rig.ts";

afterEach(closeAll);

async function startProgram(folder: string) {
  const server = spawnServer(folder);
  atEnd(() => server.kill("SIGTERM"));
  await server.mqttUrl();
  return { ...server, api: createAsking(server.httpUrl()) };
}

test("whom notices do not reach is told to the others, once, and a restart doesn't tell it again", async () => {
  const folder = mkdtempSync(join(tmpdir(), "brimful-told-"));
  atEnd(() => rmSync(folder, { recursive: true }));
  const refusing = await openReceiver(status(403));
  let told: () => void = () => undefined;
  const isTold = new Promise<void>((resolve) => {
    told = resolve;
  });
  const taking = await openReceiver((response) => {
    response.writeHead(204).end();
    told();
  });
  const first = await startProgram(folder);
  const { body: ann } = await first.api.post("/notice-people", {
    ...person,
    ...hook(refusing.url),
  });
  const bob = { ...person, name: "Bob", kinds: ["care"], ...hook(taking.url) };
  expect((await first.api.post("/notice-people", bob)).status).toBe(201);
  await first.api.post(`/notice-people/${ann.id}/test`, { channel: "webhook" });
  await isTold;
  expect(JSON.parse(taking.heard[0]!.body)).toMatchObject({
    kind: "care",
    text: "Notices do not reach Ann by web address: see the set-up page",
  });
  await first.kill("SIGTERM");

  const second = await startProgram(folder);
  const open = async () => (await second.api.get("/alarms")).body as { text: string }[];
  expect(await open()).toHaveLength(1);
  // One more who is not reached changes its words: then the second run has looked, and still has no news.
  const cleo = { ...person, name: "Cleo", ...hook(refusing.url) };
  const { body: added } = await second.api.post("/notice-people", cleo);
  await second.api.post(`/notice-people/${added.id}/test`, { channel: "webhook" });
  while (!(await open())[0]?.text.includes("Cleo")) await second.api.get("/health");
  expect(taking.heard).toHaveLength(1);
}, 30_000);
