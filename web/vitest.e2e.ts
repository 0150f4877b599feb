import { defineConfig } from "vitest/config";

// One browser at a time: the machine is small, and a flow that is slow only because another runs beside it says nothing.
export default defineConfig({
  test: {
    include: ["tests/**/*.e2e.ts"],
    passWithNoTests: false,
    fileParallelism: false,
    retry: 0,
    testTimeout: 30_000,
    hookTimeout: 60_000,
  },
});
