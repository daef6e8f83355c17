import { defineConfig } from "vitest/config";

// Real-browser tests against the built binary: two files at a time, each with a
// server, a store and a browser of its own.
export default defineConfig({
  test: {
    include: ["e2e/**/*.test.ts"],
    maxWorkers: 2,
    testTimeout: 600_000,
    hookTimeout: 240_000,
    expect: { poll: { timeout: 30_000 } },
    retry: 0,
    bail: 1,
  },
});
