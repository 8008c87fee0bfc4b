import fc from "fast-check";

/** A scenario as plain data: keys in order, texts as they stand in the file. */
export type Node = string | readonly Node[] | Entries;
export interface Entries {
	readonly entries: readonly (readonly [key: string, node: Node])[];
}
const map = (...entries: (readonly [string, Node] | false)[]): Entries => ({
	entries: entries.filter((entry) => entry !== false),
});

/** Decides one question of layout after another; a seeded stream, so that a failure can be run again. */
export type Chance = (share: number) => boolean;

/** A stream of decisions from a seed (mulberry32). */
export const chanceOf = (seed: number): Chance => {
	let state = seed;
	return (share) => {
		state = (state + 0x6d2b79f5) | 0;
		let t = Math.imul(state ^ (state >>> 15), 1 | state);
		t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
		return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296 < share;
	};
};

const told = (chance: Chance, value: string): Node => {
	if (chance(0.6)) return value;
	const keys: [string, string][] = [["value", value]];
	if (chance(0.5)) keys.push(["source", "a note, of mine"]);
	if (chance(0.5)) keys.push(["fitted", "old log.csv"]);
	if (chance(0.5)) keys.push(["on", "2025-11-30"]);
	return map(...(chance(0.3) ? keys.reverse() : keys));
};

/** A sound scenario with some of what may be left out. */
export const anyScenario = (chance: Chance): Entries => {
	const block = () =>
		map(
			chance(0.5) && ["species", "oyster"],
			["mass", told(chance, "4 kg")],
			chance(0.5) && ["rate", told(chance, "140 mg/(kg h) ±20 %")],
			chance(0.5) && ["density", told(chance, "400 kg/m3")],
		);
	const sections: (readonly [string, Node] | false)[] = [
		chance(0.5) && ["name", "A cabinet, of sorts"],
		[
			"chamber",
			map(
				["volume", told(chance, "180 L")],
				chance(0.5) && ["leak", told(chance, "0.31 /h")],
				chance(0.3) && ["temperature", map(["mean", "18 C"], ["swing", "2 K"])],
			),
		],
		chance(0.5) && ["intake", map(["co2", told(chance, "430..450 ppm")])],
		["substrate", chance(0.4) ? block() : chance(0.5) ? [block()] : [block(), block()]],
		["fan", map(["flow", told(chance, "41 m3/h")], chance(0.5) && ["coast-down", told(chance, "2 s")])],
		chance(0.5) && [
			"sensor",
			chance(0.2)
				? map()
				: map(
						["response", told(chance, "61 s")],
						chance(0.4) && ["offset", told(chance, "-20 ppm")],
						chance(0.4) && ["zone", "mixed"],
					),
		],
		chance(0.5) && ["notes", "Some words: of wisdom # not a remark"],
		["schedules", map(["short and often", map(["on", "4 s"], ["off", "236 s"])], ["never", "off"])],
	];
	return map(...(chance(0.2) ? sections.reverse() : sections));
};

/** The text of a scenario in some layout of YAML, with numbered comments in every place that YAML has for them. */
export const layOut = (scenario: Entries, chance: Chance, newLine: string): string => {
	let comments = 0;
	const blanks = () => (chance(0.7) ? " " : chance(0.5) ? "  " : "\t");
	const remark = (share: number) => (chance(share) ? `${blanks()}# remark ${++comments}.` : "");
	const scalar = (text: string, key: boolean): string => {
		const bare = !/[,:#]/.test(text) && chance(key ? 0.9 : 0.7);
		return bare ? text : chance(0.5) ? JSON.stringify(text) : `'${text}'`;
	};
	const isScalar = (node: Node): node is string => typeof node === "string";
	const isList = (node: Node): node is readonly Node[] => Array.isArray(node);

	const flow = (node: Node, indent: string): string => {
		if (isScalar(node)) return scalar(node, false);
		const list = isList(node);
		const items = list
			? node.map((item) => flow(item, `${indent}  `))
			: (node as Entries).entries.map(
					([key, value]) => `${scalar(key, true)}:${blanks()}${flow(value, `${indent}  `)}`,
				);
		const [open, close] = list ? "[]" : "{}";
		if (items.length === 0) return chance(0.5) ? `${open}${close}` : `${open} ${close}`;
		if (chance(0.6)) {
			const pad = chance(0.5) ? " " : "";
			return `${open}${pad}${items.join(chance(0.8) ? ", " : " ,")}${chance(0.1) ? "," : ""}${pad}${close}`;
		}
		const trailing = chance(0.3);
		const head = chance(0.5) ? `${open} ` : `${open}${remark(0.3)}${newLine}${indent}  `;
		const tail = chance(0.3) ? ` ${close}` : `${remark(0.4)}${newLine}${indent} ${close}`;
		const between = () => `,${remark(0.3)}${newLine}${indent}  `;
		return `${head}${items.map((item, i) => (i === 0 ? item : between() + item)).join("")}${trailing ? "," : ""}${tail}`;
	};

	const loose = (indent: string): string => {
		const above = chance(0.1) ? newLine : "";
		return above + (chance(0.15) ? `${indent}# remark ${++comments}.${newLine}` : "");
	};
	/** What stands behind `key:` or `-`, with its line end. */
	const behind = (node: Node, indent: string, compact: boolean): string => {
		const deeper = indent + " ".repeat(1 + (chance(0.6) ? 1 : 0) + (chance(0.3) ? 2 : 0));
		const empty = !isScalar(node) && !isList(node) && (node as Entries).entries.length === 0;
		if (isScalar(node)) {
			if (chance(0.08))
				return `${blanks()}${chance(0.5) ? (/\d/.test(node) ? "|" : "|-") : ">-"}${remark(0.3)}${newLine}${deeper}${node}${newLine}`;
			if (chance(0.08))
				return `${remark(0.3)}${newLine}${deeper}${scalar(node, false)}${remark(0.3)}${newLine}`;
			return `${blanks()}${scalar(node, false)}${remark(0.3)}${newLine}`;
		}
		if (empty || chance(0.45)) return `${blanks()}${flow(node, deeper)}${remark(0.3)}${newLine}`;
		if (isList(node)) {
			const dashes = !compact && chance(0.3) ? indent : deeper;
			return `${remark(0.2)}${newLine}${node.map((item) => `${loose(dashes)}${dashes}-${behind(item, dashes, true)}`).join("")}`;
		}
		const { entries } = node as Entries;
		if (compact) {
			const gap = chance(0.7) ? " " : "   ";
			return gap + lines(entries, `${indent} ${gap}`, true);
		}
		return `${remark(0.2)}${newLine}${lines(entries, deeper, false)}`;
	};
	const lines = (entries: Entries["entries"], indent: string, first: boolean): string =>
		entries
			.map(([key, node], i) => {
				const start = first && i === 0 ? "" : loose(indent) + indent;
				return `${start}${scalar(key, true)}:${behind(node, indent, false)}`;
			})
			.join("");

	const root = chance(0.15)
		? flow(scenario, "") + remark(0.3) + newLine
		: lines(scenario.entries, chance(0.1) ? "  " : "", false);
	const foot = chance(0.2) ? `${newLine}# remark ${++comments}.` : "";
	const whole = `${root}${foot}`;
	return chance(0.2) ? whole.trimEnd() : whole;
};

export const seeds = fc.integer({ min: 0, max: 2 ** 31 });
