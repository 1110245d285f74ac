import { svelte } from "@sveltejs/vite-plugin-svelte";
import { defineConfig } from "vitest/config";

export default defineConfig({
  plugins: [svelte()],
  // The page runs what it carries: no script in the page itself, none from elsewhere.
  build: {
    target: "es2022",
    modulePreload: { polyfill: false },
    assetsInlineLimit: 0,
    reportCompressedSize: true,
  },
  server: {
    fs: { allow: [".."] },
    proxy: { "/api": "http://127.0.0.1:8323" },
  },
  test: {
    projects: [
      {
        extends: true,
        resolve: { conditions: ["browser"] },
        test: { name: "parts", environment: "jsdom", include: ["tests/**/*.test.ts"] },
      },
      {
        extends: true,
        test: {
          name: "browser",
          environment: "node",
          include: ["browser/**/*.test.ts"],
          testTimeout: 90_000,
          hookTimeout: 120_000,
          fileParallelism: false,
        },
      },
    ],
  },
});
