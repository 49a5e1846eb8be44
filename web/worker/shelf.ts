// The files of one version of the page, kept in the browser; the version before stays for pages still open.

// Set by the build: every file of the page, and a name that changes with any of them.
declare const shelfFiles: readonly string[];
declare const shelfVersion: string;

const prefix = "brimful-page-";
const home = "./";
/** A server that is away may hold a request up for minutes. */
const patienceMs = 4000;
const leastServerTrouble = 500;

const shelfName = () => `${prefix}${shelfVersion}`;

export async function fillShelf(): Promise<void> {
  const shelf = await caches.open(shelfName());
  const fresh = [home, ...shelfFiles].map((file) => new Request(file, { cache: "no-cache" }));
  await shelf.addAll(fresh);
}

/** Leaves this version's files and those of the one before. */
export async function tidyShelves(): Promise<void> {
  const others = (await caches.keys()).filter(
    (name) => name.startsWith(prefix) && name !== shelfName(),
  );
  await Promise.all(others.slice(0, -1).map((name) => caches.delete(name)));
}

/** Whether it is one of the page's files; what the API says is never kept. */
export function isShelved(url: URL, scope: URL): boolean {
  const path = url.pathname.slice(scope.pathname.length);
  return url.search === "" && (path.startsWith("assets/") || shelfFiles.includes(path));
}

/** The page from the server, so that it is never older than need be; the kept one when it doesn't answer. */
export async function answerPage(request: Request): Promise<Response> {
  const shelf = await caches.open(shelfName());
  try {
    const answer = await fetch(request, { signal: AbortSignal.timeout(patienceMs) });
    if (answer.status < leastServerTrouble) return answer;
    return (await shelf.match(home)) ?? answer;
  } catch (error) {
    const kept = await shelf.match(home);
    if (kept === undefined) throw error;
    return kept;
  }
}

/** A file's name changes with what is in it, so a kept one is as good as new. */
export async function answerShelved(request: Request): Promise<Response> {
  const shelf = await caches.open(shelfName());
  return (await shelf.match(request)) ?? (await caches.match(request)) ?? (await fetch(request));
}
