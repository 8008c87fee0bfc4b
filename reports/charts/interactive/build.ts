import { writeFile } from "node:fs/promises";
import { explorePage } from "../../explore/script.ts";
import { chartScript } from "./bundle.ts";

// Run after the compiler, from dist: `node dist/reports/charts/interactive/build.js`.
for (const { built, bundle } of [chartScript, explorePage]) await writeFile(built, await bundle());
