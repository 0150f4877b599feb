import { defineConfig } from "vite";

// Everything is a file of its own beside index.html: the content security policy of the service allows nothing inline.
export default defineConfig({
  oxc: { jsx: { runtime: "automatic", importSource: "preact" } },
  build: { assetsInlineLimit: 0, modulePreload: { polyfill: false }, target: "es2022" },
  server: { proxy: { "/v1": process.env["OMNIWAY_SERVICE"] ?? "http://127.0.0.1:8080" } },
});
