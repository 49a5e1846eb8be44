// The commands that bring a first board in, with this server's own address filled in, and how far one has come.
import type { BoardView, BucketView } from "../wire/api.ts";
import type { Joining } from "../wire/joining.ts";

export type Command = {
  /** On which machine it is given. */
  where: "server" | "board";
  command: string;
  /** What it is for. */
  words: string;
};

const usualPort = 1883;
const loopback = /^(localhost|127\..*|\[?::1\]?)$/;

/** Name of the board in the commands; a person may take another. */
const boardName = "hill";

/** What to type, in its order, for a page opened at `pageHost`. */
export function joiningCommands(joining: Joining, pageHost: string): Command[] {
  if (!joining.ownBroker) return boardCommands(joining, joining.host ?? pageHost);
  if (isClosed(joining) && !loopback.test(pageHost)) {
    return [enrol(), openDoor(), ...boardCommands({ ...joining, enrolled: true }, pageHost)];
  }
  if (isClosed(joining)) return boardCommands(joining, "127.0.0.1");
  return [enrol(), ...boardCommands({ ...joining, enrolled: true }, joining.host ?? pageHost)];
}

/** For a page on the server's own machine: how a board on another machine would come in. */
export function elsewhereCommands(joining: Joining): Command[] {
  if (!joining.ownBroker || !isClosed(joining)) return [];
  const host = "THIS-COMPUTER'S-ADDRESS";
  return [enrol(), openDoor(), ...boardCommands({ ...joining, enrolled: true }, host).slice(0, 1)];
}

function isClosed({ host }: Joining): boolean {
  return host !== null && loopback.test(host);
}

function enrol(): Command {
  return {
    where: "server",
    command: `npm run enrol -- ${boardName}`,
    words: "give the board a name; its secret is shown once",
  };
}

function openDoor(): Command {
  return {
    where: "server",
    command: "BRIMFUL_MQTT_HOST=0.0.0.0 npm start",
    words: "start the server again, so that it is heard on the network",
  };
}

function boardCommands(joining: Joining, host: string): Command[] {
  const settings = settingsOf(joining, host);
  const start = (options: string) => [...settings, `npm run board -- ${options}`].join(" ");
  return [
    {
      where: "board",
      command: start("--boards boards.json"),
      words: "with your cells wired to it, as device/README.md tells",
    },
    {
      where: "board",
      command: start("--simulated"),
      words: "or with invented trees, to try it without hardware",
    },
  ];
}

function settingsOf({ port, tls, enrolled }: Joining, host: string): string[] {
  const secret = enrolled ? ["BRIMFUL_BOARD_SECRET=ITS-SECRET"] : [];
  if (tls) {
    const url = `BRIMFUL_MQTT_URL=mqtts://${host}:${port}`;
    return ["NODE_EXTRA_CA_CERTS=authority.crt", url, ...secret];
  }
  return [
    ...(loopback.test(host) ? [] : [`BRIMFUL_MQTT_HOST=${host}`]),
    ...(port === usualPort ? [] : [`BRIMFUL_MQTT_PORT=${port}`]),
    ...secret,
  ];
}

export type FirstStep = {
  key: "heard" | "loaded" | "hung" | "weighed";
  done: boolean;
  /** What is to be done. */
  task: string;
  /** How it stands. */
  words: string;
};

/** An empty bucket weighs more than this (common practice, no source). */
const leastLoadKg = 0.15;

type Cell = BoardView["cells"][number];

const isLoaded = ({ massKg }: Cell) => (massKg ?? 0) >= leastLoadKg;

/** The cell that a first bucket is asked about: the one held before while it carries something, else the heaviest. */
export function cellToHang(boards: readonly BoardView[], heldCell?: string): Cell | undefined {
  const cells = boards.flatMap((board) => board.cells);
  const held = cells.find((cell) => cell.cell === heldCell && isLoaded(cell));
  return held ?? cells.toSorted((a, b) => (b.massKg ?? 0) - (a.massKg ?? 0))[0];
}

/** How far a first bucket has come: heard, loaded, hung, weighed; each step counts only with those before it. */
export function firstSteps(
  boards: readonly BoardView[],
  buckets: readonly BucketView[],
): FirstStep[] {
  const loaded = boards.flatMap((board) => board.cells).filter(isLoaded);
  const weighed = buckets.find(({ volumeL, state }) => volumeL !== null && state !== "unheard");
  const heard = boards.length > 0;
  const hung = buckets[0];
  return [
    {
      key: "heard",
      task: "Start a board",
      done: heard,
      words: heard
        ? `Board ${boards.map(({ name }) => name).join(", ")} is heard`
        : "No board has been heard yet",
    },
    {
      key: "loaded",
      task: "Hang a bucket on a cell",
      done: loaded.length > 0 || hung !== undefined,
      words:
        loaded.length === 0 && hung === undefined
          ? "No cell carries a bucket yet"
          : loadedWords(
              loaded.length > 0 ? loaded.map(({ cell }) => cell) : [hung?.cell ?? "A cell"],
            ),
    },
    {
      key: "hung",
      task: "Say whose bucket it is",
      done: hung !== undefined,
      words: hung === undefined ? "A bucket hangs: whose is it?" : `${hung.label} hangs`,
    },
    {
      key: "weighed",
      task: "Wait while it is weighed",
      done: weighed !== undefined,
      words:
        weighed === undefined
          ? "Some minutes of readings, then its sap is known"
          : `${weighed.label} is being weighed`,
    },
  ];
}

function loadedWords(cells: readonly string[]): string {
  return `${cells.join(", ")} ${cells.length === 1 ? "carries" : "carry"} something`;
}
