import { writeFile } from "node:fs/promises";
import * as explore from "../../explore/script.ts";
import * as live from "./bundle.ts";

// Run after the compiler, from dist: `node dist/reports/charts/interactive/build.js`.
for (const { BUILT, bundle } of [live, explore]) await writeFile(BUILT, await bundle());
