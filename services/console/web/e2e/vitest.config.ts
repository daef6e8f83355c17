import { defineConfig } from "vitest/config";

// Real-browser tests against the built binary: one file after the other, each
// with a server and a store of its own.
export default defineConfig({
  test: {
    include: ["e2e/**/*.test.ts"],
    fileParallelism: false,
    testTimeout: 240_000,
    hookTimeout: 120_000,
    retry: 0,
    bail: 1,
  },
});
