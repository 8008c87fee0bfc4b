import { expect, test } from "vitest";
import { randomFile } from "./file.ts";
import { judge } from "./judge.ts";

/** All of them take minutes; a share of them each time. RANDOM_LAYOUTS=20000 reads all. */
const COUNT = Number(process.env.RANDOM_LAYOUTS ?? 1200);
/** Of the files that can be read without an option. */
const MIN_READ = 0.97;

test(`${COUNT} files of random layouts are each read exactly or refused`, () => {
	const wrong: string[] = [];
	const told = { read: 0, refused: 0 };
	let undecided = 0;
	let read = 0;
	for (let seed = 1; seed <= COUNT; seed++) {
		const file = randomFile(seed);
		const outcome = judge(file);
		if (outcome.is === "exact") read++;
		if (outcome.is === "wrong") wrong.push(`${seed}: ${outcome.why} (${file.traits.join(", ")})`);
		if (file.mustRefuse === null) told[outcome.is === "exact" ? "read" : "refused"]++;
		else undecided++;
		if (outcome.is !== "refused" || Object.keys(file.options).length === 0) continue;
		const settled = judge(file, file.options);
		if (settled.is === "wrong")
			wrong.push(`${seed} with options: ${settled.why} (${file.traits.join(", ")})`);
	}
	expect(wrong).toEqual([]);
	expect(told.read / (told.read + told.refused)).toBeGreaterThanOrEqual(MIN_READ);
	// Of all files, those that nobody can read among them; of few files chance may take a little.
	expect(read / COUNT).toBeGreaterThanOrEqual(COUNT >= 20_000 ? MIN_READ : MIN_READ - 0.015);
	// What nothing in the file tells is part of the draw.
	expect(undecided).toBeGreaterThan(0.01 * COUNT);
}, 900_000);
