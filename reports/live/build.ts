import { writeFile } from "node:fs/promises";
import { BUILT, bundle } from "./bundle.ts";

// Run after the compiler, from dist: `node dist/reports/live/build.js`.
await writeFile(BUILT, await bundle());
