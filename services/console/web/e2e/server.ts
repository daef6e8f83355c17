// The built binary on a free port with a folder of its own, and its end.

import { spawn, type ChildProcess } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";

export interface Running { url: string; /** What the server has written to its log. */ said: () => string; stop: () => Promise<void> }

const binary = resolve(process.env.VALVEROUND ?? "../../../bin/valveround");

export async function startServer(...more: string[]): Promise<Running> {
  const port = await freePort();
  const dir = mkdtempSync(join(tmpdir(), "valveround-"));
  const child = spawn(binary, ["serve", "--demo", "--port", String(port), "--dir", join(dir, "store"), ...more], { stdio: ["ignore", "pipe", "pipe"] });
  const said: string[] = [];
  child.stdout.on("data", (chunk: Buffer) => said.push(chunk.toString()));
  child.stderr.on("data", (chunk: Buffer) => said.push(chunk.toString()));
  const url = `http://127.0.0.1:${port}`;
  await answers(`${url}/api/office`, child, said);
  return {
    url,
    said: () => said.join(""),
    stop: async () => {
      const ended = new Promise((done) => child.once("exit", done));
      child.kill("SIGTERM");
      await ended;
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
