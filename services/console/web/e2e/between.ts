// What stands between a browser and the server in a test: a way that can be
// cut, or on which files are changed as a later version would change them.

import { createServer as createHttpServer, request, type ServerResponse } from "node:http";
import { connect, createServer, type AddressInfo, type Server, type Socket } from "node:net";

export interface Way {
  port: number;
  /** While it is cut, nobody gets through: what is open is closed, what comes is turned away. */
  cut: (cut: boolean) => void;
  stop: () => Promise<void>;
}

async function listen(server: Server): Promise<number> {
  await new Promise<void>((done) => server.listen(0, "127.0.0.1", done));
  return (server.address() as AddressInfo).port;
}

/** Passes bytes on as they come, so that it also carries TLS without knowing any key. */
export async function bytesTo(port: number): Promise<Way> {
  const open = new Set<Socket>();
  let isCut = false;
  const server = createServer((near) => {
    if (isCut) {
      near.destroy();
      return;
    }
    const far = connect(port, "127.0.0.1");
    for (const [one, other] of [[near, far], [far, near]] as const) {
      open.add(one);
      one.on("error", () => other.destroy());
      one.on("close", () => { open.delete(one); other.destroy(); });
      one.pipe(other);
    }
  });
  return {
    port: await listen(server),
    cut: (cut) => {
      isCut = cut;
      if (cut) for (const socket of open) socket.destroy();
    },
    stop: () => new Promise((done) => { for (const socket of open) socket.destroy(); server.close(() => done()); }),
  };
}

/** Passes requests on; `change` may give a file another text. */
export async function pagesOf(port: number, change: (path: string, text: string) => string): Promise<Way> {
  let isCut = false;
  const server = createHttpServer((asked, answer) => {
    if (isCut) {
      asked.socket.destroy();
      return;
    }
    const on = request({ port, host: "127.0.0.1", path: asked.url, method: asked.method, headers: asked.headers }, (got) => {
      const parts: Buffer[] = [];
      got.on("data", (part: Buffer) => parts.push(part));
      got.on("end", () => give(answer, got.statusCode!, got.headers, changed(asked.url!, Buffer.concat(parts))));
    });
    on.on("error", () => asked.socket.destroy());
    asked.pipe(on);
  });
  const changed = (path: string, body: Buffer) => (/\.(html|js)$/.test(path.split("?")[0]!) ? Buffer.from(change(path, body.toString())) : body);
  const give = (answer: ServerResponse, status: number, headers: Record<string, unknown>, body: Buffer) => {
    answer.writeHead(status, { ...(headers as Record<string, string>), "content-length": String(body.length) });
    answer.end(body);
  };
  return {
    port: await listen(server),
    cut: (cut) => {
      isCut = cut;
      if (cut) server.closeAllConnections();
    },
    stop: () => new Promise((done) => { server.closeAllConnections(); server.close(() => done()); }),
  };
}
