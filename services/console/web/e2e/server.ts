// The built binary on a free port with a folder of its own, and its end.

import { spawn, type ChildProcess } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";

export interface Running {
  url: string;
  port: number;
  /** Where its log lies. */
  store: string;
  /** What the server has written to its log. */
  said: () => string;
  /** Ends it and starts it again with the same log, at another moment of the county. */
  at: (moment: string) => Promise<void>;
  stop: () => Promise<void>;
}

// Plans are searched for by rounds and not by the clock, so that they are the same however busy the machine is.
const rounds = "2000";

export const binary = resolve(process.env.VALVEROUND ?? "../../../bin/valveround");

/** The demo as anybody tries it: nobody signs in. */
export const startServer = (...more: string[]): Promise<Running> =>
  start((port, child, said) => answers(`http://127.0.0.1:${port}/api/office`, child, said), ...more);

/** Starts the program, and again for each `at`; `ready` says when it answers, from what it has written since. */
export async function start(ready: (port: number, child: ChildProcess, said: string[]) => Promise<void>, ...more: string[]): Promise<Running> {
  const port = await freePort();
  const dir = mkdtempSync(join(tmpdir(), "valveround-"));
  const store = join(dir, "store");
  const all: string[] = [];
  const begin = async (options: string[]): Promise<ChildProcess> => {
    const child = spawn(binary, ["serve", "--demo", "--port", String(port), "--dir", store, "--iterations", rounds, ...options], { stdio: ["ignore", "pipe", "pipe"] });
    const said: string[] = [];
    const hear = (chunk: Buffer) => { said.push(chunk.toString()); all.push(chunk.toString()); };
    child.stdout.on("data", hear);
    child.stderr.on("data", hear);
    await ready(port, child, said);
    return child;
  };
  const end = async (child: ChildProcess) => {
    const ended = new Promise((done) => child.once("exit", done));
    child.kill("SIGTERM");
    await ended;
  };
  let child = await begin(more);
  return {
    url: `http://127.0.0.1:${port}`,
    port,
    store,
    said: () => all.join(""),
    at: async (moment) => {
      await end(child);
      const rest = more.filter((option, i) => option !== "--at" && more[i - 1] !== "--at");
      child = await begin([...rest, "--at", moment]);
    },
    stop: async () => {
      await end(child);
      rmSync(dir, { recursive: true, force: true });
    },
  };
}

async function answers(url: string, child: ChildProcess, said: string[]): Promise<void> {
  for (;;) {
    if (child.exitCode !== null) throw new Error(`the server ended with ${child.exitCode}:\n${said.join("")}`);
    const ok = await fetch(url).then((answer) => answer.ok, () => false);
    if (ok) return;
    await new Promise((wait) => setTimeout(wait, 200));
  }
}

function freePort(): Promise<number> {
  return new Promise((done, fail) => {
    const probe = createServer();
    probe.once("error", fail);
    probe.listen(0, "127.0.0.1", () => {
      const address = probe.address();
      probe.close(() => (typeof address === "object" && address ? done(address.port) : fail(new Error("no port"))));
    });
  });
}
