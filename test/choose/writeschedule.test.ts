import { expect, test } from "vitest";
import { namesMeant, nearest } from "../../lib/nearest.ts";
import { writeScheduleInto } from "../../lib/scenario/edit/schedule.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";

const head = `# A cabinet
chamber: { volume: 420 L } # inner
substrate: { species: oyster, mass: 8 kg }
fan: { flow: 70 m3/h }
`;
const cycle = { onSeconds: 4, offSeconds: 93.5 };

test.each([
	["without schedules", head, `${head}schedules: { chosen: { on: 4 s, off: 93.5 s } }\n`],
	[
		"with a block of schedules",
		`${head}schedules:\n  rare: { on: 60 s, off: 59 min } # by hand\n# the end\n`,
		`${head}schedules:\n  rare: { on: 60 s, off: 59 min } # by hand\n  chosen: { on: 4 s, off: 93.5 s }\n# the end\n`,
	],
	[
		"with one of that name",
		`${head}schedules: { chosen: { on: 9 s, off: 9 s }, rare: continuous } # kept\n`,
		`${head}schedules: { chosen: { on: 4 s, off: 93.5 s }, rare: continuous } # kept\n`,
	],
	[
		"with one of that name in lines",
		`${head}schedules:\n  chosen:\n    on: 9 s\n    off: 9 s\n  rare: continuous\n`,
		`${head}schedules:\n  chosen:\n    { on: 4 s, off: 93.5 s }\n  rare: continuous\n`,
	],
])("a setting is written into a file %s, and all else stays", (_, before, after) => {
	const written = writeScheduleInto(before, "chosen", cycle);
	expect(written).toBe(after);
	const read = parseScenario(written).schedules.find(({ name }) => name === "chosen")!;
	expect(read.schedule).toEqual({ kind: "cycle", ...cycle });
	expect(writeScheduleInto(written, "chosen", cycle)).toBe(written);
});

test("a setting is written into JSON as JSON, under a name that must be quoted, and not where no schedules can stand", () => {
	const json = JSON.stringify({
		chamber: { volume: "420 L" },
		substrate: { mass: "8 kg" },
		fan: { flow: "70 m3/h" },
	});
	expect(JSON.parse(writeScheduleInto(json, "a: b", cycle)).schedules).toEqual({
		"a: b": { on: "4 s", off: "93.5 s" },
	});
	expect(parseScenario(writeScheduleInto(head, "a: b", cycle)).schedules[0]!.name).toBe("a: b");
	expect(() => writeScheduleInto(`${head}schedules: 5\n`, "chosen", cycle)).toThrow("holds no schedules");
});

test("a name may be written shortly where it is clear", () => {
	const names = ["rare and long", "short and often", "short"];
	expect(namesMeant("rare", names)).toEqual(["rare and long"]);
	expect(namesMeant("OFTEN", names)).toEqual(["short and often"]);
	expect(namesMeant("short", names)).toEqual(["short"]);
	expect(namesMeant("and", names)).toEqual(["rare and long", "short and often"]);
	expect(namesMeant("never", names)).toEqual([]);
});

test("a crop that is not known is not taken for one that stands twice the CO2; a slip is still offered", () => {
	const refusal = (species: string) => {
		try {
			parseScenario(head.replace("oyster", species), "x.yaml", { schedules: "optional" });
			return "";
		} catch (error) {
			return String(error);
		}
	};
	for (const species of ["maitake", "nameko", "pioppino", "morel", "truffle", "wood ear"]) {
		expect(refusal(species)).toContain("is no known species");
		expect(refusal(species)).not.toContain("did you mean");
	}
	expect(refusal("oister")).toContain('did you mean "oyster"?');
	expect(refusal("shitake")).toContain('did you mean "shiitake"?');
	expect(nearest("leek", ["leak"])).toBe("leak");
});
