// Makes the pictures of the README anew, from the built package: `npm run build && npm run pictures`. Tests compare the
// files with what the code draws.
import { readFileSync, writeFileSync } from "node:fs";
import { compareSchedules, lesson, parseScenario } from "../dist/lib/index.js";
import { comparisonCurves } from "../dist/lib/public/solver.js";
import { compareSvg } from "../dist/reports/compare/compare.js";
import { lessonPictures } from "../dist/reports/lesson/lesson.js";

const fixtures = new URL("../fixtures/", import.meta.url);
const write = (name, svg) => {
	writeFileSync(new URL(`pictures/${name}.svg`, fixtures), svg);
	console.log(`fixtures/pictures/${name}.svg`);
};

const text = readFileSync(new URL("scenarios/two-shelf-cabinet.yaml", fixtures), "utf8");
const comparison = compareSchedules(parseScenario(text, "two-shelf-cabinet.yaml"));
write("two-shelf-cabinet", await compareSvg(comparison, comparisonCurves(comparison)));

const pictures = await lessonPictures(lesson(), "si");
for (const name of ["bucket", "equal-air", "collapse", "max-off-time"])
	write(`lesson-${name}`, pictures[name]);
