// Runs a TypeScript file of the tests as a program: node tools/run.mjs FILE [ARGUMENT]...
import { resolve } from "node:path";
import { runnerImport } from "vite";

const file = resolve(process.argv[2]);
process.argv.splice(1, 2, file);
await runnerImport(file, { logLevel: "error" });
