/** Keys from the top of the file to a mapping. */
type Section = readonly (string | number)[];

/** Words that the field uses for keys of the file: section, other name, key. Both may be written, and one of them is. */
const aliases: Readonly<Record<string, Readonly<Record<string, string>>>> = {
	"chamber.temperature": { amplitude: "swing" },
	"intake.co2": { amplitude: "swing" },
	fan: { "voltage-range": "window", "starting-current": "start-current" },
	timer: { "standby-current": "waiting" },
};

/** Sections with other names of keys, by their path. */
export const aliasedSections = Object.entries(aliases).map(([path, names]) => ({
	path: path.split("."),
	names,
}));

/** Other names of the keys of a section. */
export const aliasesIn = (section: Section): readonly string[] =>
	Object.keys(aliases[section.join(".")] ?? {});

/** The key that a name in a section stands for: itself where it is no other name of one. */
export const keyNamed = (section: Section, name: string): string => {
	const names = aliases[section.join(".")] ?? {};
	return Object.hasOwn(names, name) ? names[name]! : name;
};
