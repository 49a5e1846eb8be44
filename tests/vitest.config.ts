// Three projects: pure and page tests, server tests with real parts, and the real browser.
import { defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    root: new URL("..", import.meta.url).pathname,
    coverage: {
      provider: "v8",
      include: ["shared/**/*.ts", "server/**/*.ts", "device/**/*.ts"],
    },
    projects: [
      {
        extends: true,
        test: {
          name: "unit",
          include: [
            "tests/{shared,device,web,reference}/**/*.test.{ts,tsx}",
            "tests/server/domain/**/*.test.ts",
          ],
          // A busy machine may take its time: how long a test takes is not what it tests.
          testTimeout: 60_000,
        },
      },
      {
        extends: true,
        test: {
          name: "server",
          include: ["tests/{server,faults}/**/*.test.ts"],
          exclude: ["tests/server/domain/**"],
          testTimeout: 20_000,
        },
      },
      {
        extends: true,
        test: {
          name: "e2e",
          include: ["tests/e2e/**/*.test.ts"],
          testTimeout: 90_000,
          hookTimeout: 90_000,
          fileParallelism: false,
        },
      },
    ],
  },
});
