import preact from "@preact/preset-vite";
import { createHash } from "node:crypto";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { defineConfig, type Plugin } from "vite";

// Three pages: the office, the phone, and the door to both. storybook.html is served by
// `npm run dev` only; it is no input of the build. The phone's service worker
// is a script of its own at the root, since it may keep nothing above its folder.
// `npm run dev` sends API calls to a running server (make run).
const server = process.env.VALVEROUND_URL ?? "http://127.0.0.1:8080";
const worker = "crew-worker.js";

/** Files of the crew's page that are not named by its scripts. */
const besides = ["crew.html", "crew-app.json", "icon.svg", "icon-192.png", "icon-512.png", "icon-apple.png"];

/** Writes into the service worker which files belong to the crew's page, and what makes this build another one. */
function crewWorker(): Plugin {
  return {
    name: "crew-worker",
    apply: "build",
    writeBundle({ dir }, bundle) {
      const files = new Set(besides);
      const follow = (name: string): void => {
        const chunk = bundle[name];
        if (files.has(name) || chunk?.type !== "chunk") return;
        files.add(name);
        for (const css of chunk.viteMetadata?.importedCss ?? []) files.add(css);
        for (const asset of chunk.viteMetadata?.importedAssets ?? []) files.add(asset);
        [...chunk.imports, ...chunk.dynamicImports].forEach(follow);
      };
      const entry = Object.values(bundle).find((part) => part.type === "chunk" && part.isEntry && part.name === "crew");
      follow(entry!.fileName);
      const list = [...files].sort();
      const sum = createHash("sha256");
      for (const name of list) sum.update(name).update(readFileSync(join(dir!, name)));
      const path = join(dir!, worker);
      const text = readFileSync(path, "utf8");
      if (/\bimport\b/.test(text)) this.error(`${worker} must stand alone`);
      if (!text.includes("__BUILD__") || !text.includes("__FILES__")) this.error(`${worker} has no place for the build and its files`);
      writeFileSync(path, text.replace("__BUILD__", sum.digest("hex").slice(0, 16)).replace("__FILES__", list.join(" ")));
    },
  };
}

export default defineConfig({
  plugins: [preact(), crewWorker()],
  base: "./",
  build: {
    outDir: "dist",
    target: "es2022",
    rollupOptions: {
      input: { office: "index.html", crew: "crew.html", door: "sign-in.html", worker: "src/worker.ts" },
      output: { entryFileNames: (chunk) => (chunk.name === "worker" ? worker : "assets/[name]-[hash].js") },
    },
  },
  server: { host: "127.0.0.1", proxy: { "/api": server, "/openapi.json": server } },
});
