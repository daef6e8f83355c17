import preact from "@preact/preset-vite";
import { defineConfig } from "vite";

// Two pages: the office and the phone. storybook.html is served by
// `npm run dev` only; it is no input of the build.
// `npm run dev` sends API calls to a running server (make run).
const server = process.env.VALVEROUND_URL ?? "http://127.0.0.1:8080";

export default defineConfig({
  plugins: [preact()],
  base: "./",
  build: {
    outDir: "dist",
    target: "es2022",
    rollupOptions: { input: { office: "index.html", crew: "crew.html" } },
  },
  server: { host: "127.0.0.1", proxy: { "/api": server, "/openapi.json": server } },
});
