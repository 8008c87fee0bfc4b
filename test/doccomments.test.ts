import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import ts from "typescript";
import { describe, expect, test } from "vitest";

const root = fileURLToPath(new URL("..", import.meta.url));

/** The public entries of the library, as package.json names them. */
const entries = Object.entries(
	JSON.parse(readFileSync(`${root}package.json`, "utf8")).exports as Record<string, { types?: string }>,
).flatMap(([path, { types }]) =>
	types?.startsWith("./dist/lib/")
		? [{ path, file: types.replace("./dist/", root).replace(/\.d\.ts$/, ".ts") }]
		: [],
);

const program = ts.createProgram(
	entries.map(({ file }) => file),
	{ ...readOptions(), noEmit: true },
);
const checker = program.getTypeChecker();

function readOptions(): ts.CompilerOptions {
	const { config } = ts.readConfigFile(`${root}tsconfig.json`, ts.sys.readFile);
	return ts.parseJsonConfigFileContent(config, ts.sys, root).options;
}

interface PublicFunction {
	readonly entry: string;
	readonly name: string;
	readonly file: string;
	readonly parameters: readonly { readonly name: string; readonly isNumber: boolean }[];
	readonly returnsNumber: boolean;
	readonly text: string;
	readonly tags: readonly {
		readonly name: string;
		readonly about: string | undefined;
		readonly text: string;
	}[];
}

const isNumeric = (type: ts.Type): boolean =>
	(type.isUnion() ? type.types : [type]).some(({ flags }) => (flags & ts.TypeFlags.NumberLike) !== 0);

function publicFunctions(): PublicFunction[] {
	return entries.flatMap(({ path, file }) => {
		const module = checker.getSymbolAtLocation(program.getSourceFile(file)!)!;
		return checker.getExportsOfModule(module).flatMap((exported): PublicFunction[] => {
			const symbol = exported.flags & ts.SymbolFlags.Alias ? checker.getAliasedSymbol(exported) : exported;
			const declaration = symbol.valueDeclaration;
			if (declaration === undefined || symbol.flags & ts.SymbolFlags.Class) return [];
			const signature = checker.getTypeOfSymbol(symbol).getCallSignatures()[0];
			if (signature === undefined) return [];
			return [
				{
					entry: path,
					name: exported.name,
					file: declaration.getSourceFile().fileName.slice(root.length),
					parameters: signature.parameters.map((parameter) => ({
						name: parameter.name,
						isNumber: isNumeric(checker.getTypeOfSymbol(parameter)),
					})),
					returnsNumber: isNumeric(signature.getReturnType()),
					text: ts.displayPartsToString(symbol.getDocumentationComment(checker)),
					tags: symbol.getJsDocTags(checker).map((tag) => {
						const parts = tag.text ?? [];
						const about = parts.find(({ kind }) => kind === "parameterName")?.text;
						return { name: tag.name, about, text: ts.displayPartsToString(parts) };
					}),
				},
			];
		});
	});
}

/** What the template asks of a doc comment and this one lacks. */
function lacks({ parameters, returnsNumber, text, tags, entry }: PublicFunction): string[] {
	const found: string[] = [];
	const whole = [text, ...tags.map((tag) => tag.text)].join("\n");
	const named = (name: string) => tags.filter((tag) => tag.name === name);
	if (!/\S/.test(text)) found.push("a sentence that says what it does");
	for (const [place, { name, isNumber }] of parameters.entries()) {
		// A parameter that is taken apart has no name of its own.
		const own = name.startsWith("__")
			? named("param")[place]
			: named("param").find(({ about }) => about === name);
		if (own === undefined) found.push(`@param ${name}`);
		else if (isNumber && !/\[[^\]]+\]/.test(own.text)) found.push(`the unit of ${name}, in brackets`);
	}
	const returns = named("returns")[0];
	if (returns === undefined) found.push("@returns");
	else if (returnsNumber && !/\[[^\]]+\]/.test(returns.text))
		found.push("the unit of the result, in brackets");
	if (named("throws").length === 0) found.push("@throws, `never` where it never does");
	if (!/Source: /.test(whole)) found.push("Source: (or `Source: this project`)");
	if (entry === "./physics" && !/\(\d+\w?\)/.test(whole)) found.push("the number of its equation");
	if (!named("example").some((tag) => / \/\/ => \S/.test(tag.text)))
		found.push("@example with // => its value");
	return found;
}

const functions = publicFunctions();

describe("doc comments", () => {
	test("the entries export functions", () => {
		expect(entries.length).toBeGreaterThanOrEqual(7);
		expect(functions.length).toBeGreaterThan(50);
	});

	test("the root has about twenty functions", () => {
		expect(functions.filter(({ entry }) => entry === ".").length).toBeLessThanOrEqual(24);
	});

	test.each(functions.map((each) => [`${each.entry} ${each.name}`, each] as const))(
		"of %s follow the template",
		(_, each) => {
			expect(lacks(each)).toEqual([]);
		},
	);

	test("a comment that lacks a part is found", () => {
		const bare = { entry: "./physics", name: "f", file: "", parameters: [{ name: "x", isNumber: true }] };
		expect(lacks({ ...bare, returnsNumber: true, text: "", tags: [] })).toHaveLength(7);
	});
});

describe("examples in doc comments", () => {
	const examples = functions.flatMap(({ name, tags }) =>
		tags.filter((tag) => tag.name === "example").map((tag) => [name, tag.text] as const),
	);
	test.each(examples)("of %s give what they say: %s", async (_, text) => {
		const scope: Record<string, unknown> = {};
		for (const { file } of entries) Object.assign(scope, await import(file));
		const lines = text.trim().split("\n");
		const [, expression, expected] = /^(.*?);? \/\/ => (.*)$/.exec(lines.pop()!)!;
		const run = new Function(...Object.keys(scope), `${lines.join("\n")}\nreturn (${expression});`);
		expect(JSON.stringify(run(...Object.values(scope)))).toBe(JSON.stringify(JSON.parse(expected!)));
	});
});
