import { writeFile } from "node:fs/promises";
import { explorePage } from "../../explore/script.ts";

// Run after the compiler, from dist: `node dist/reports/charts/interactive/build.js`.
await writeFile(explorePage.built, await explorePage.bundle());
