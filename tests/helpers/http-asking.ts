// Asks a server of the test's own over HTTP, in JSON.

export function createAsking(url: string) {
  const send = (method: string, path: string, { body, headers }: Sent = {}) =>
    fetch(`${url}${path}`, {
      method,
      headers: {
        ...(body === undefined ? {} : { "content-type": "application/json" }),
        ...headers,
      },
      ...(body === undefined
        ? {}
        : { body: typeof body === "string" ? body : JSON.stringify(body) }),
    });
  const json = async (method: string, path: string, sent: Sent) => {
    const response = await send(method, `/api/v1${path}`, sent);
    const text = await response.text();
    return {
      status: response.status,
      // biome-ignore lint/suspicious/noExplicitAny: tests look into whatever came
      body: (text === "" ? undefined : JSON.parse(text)) as any,
      headers: response.headers,
    };
  };
  return {
    send,
    get: (path: string, headers = {}) => json("GET", path, { headers }),
    post: (path: string, body?: unknown, headers = {}) => json("POST", path, { body, headers }),
    patch: (path: string, body?: unknown, headers = {}) => json("PATCH", path, { body, headers }),
    del: (path: string, headers = {}) => json("DELETE", path, { headers }),
  };
}

type Sent = { body?: unknown; headers?: Record<string, string> };
