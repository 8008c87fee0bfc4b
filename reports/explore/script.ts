import { readFile } from "node:fs/promises";
import { pageScript, textOf } from "../charts/interactive/bundle.ts";

/** What the page never asks for: the solver that gives second opinions, zod's writer of JSON Schema and its own messages. */
const SECOND_OPINION = /[\\/]solve[\\/]propagate[\\/]odex\.[jt]s$/;
const ZOD_MESSAGES = /[\\/]zod[\\/]v4[\\/]locales[\\/]en\.js$/;
const SCHEMA_WRITER = /[\\/]zod[\\/]v4[\\/]core[\\/](?:to-json-schema|json-schema-processors)\.js$/;
/** What writes code, which the page's policy forbids, and types of values that only YAML 1.1 knows. */
const CODE_WRITER = /[\\/]zod[\\/]v4[\\/]core[\\/]doc\.js$/;
const OLD_YAML = /[\\/]yaml-1\.1[\\/](?:binary|omap|pairs|schema|set|timestamp)\.js$/;
/** What writes YAML: the page splices the text of the file. */
const YAML_WRITER = /[\\/]yaml[\\/]browser[\\/]dist[\\/](?:stringify[\\/]\w+|parse[\\/]cst-\w+|visit)\.js$/;
/** Descriptions of keys, for the schema of the file and not for its reader; in a call, they follow what is described. */
const SCENARIO_KEYS = /[\\/]lib[\\/]scenario[\\/](?:schema|sections[\\/]\w+)\.[jt]s$/;
const DESCRIPTIONS = [
	/(\bquantity\(\s*"[^"]*",\s*)"[^"]*"/g,
	/(\b(?:duration|timeOfDay|pressure|current|voltage|ampere)\(\s*)"[^"]*"/g,
	/(\bdescription:\s*)"[^"]*"/g,
	/(\boneOf\([^()]*?,\s*)"[^"]*"(?=,?\s*\))/g,
	/(\},\s*)"[^"]*"(?=,?\s*\))/g,
];
/** Where published figures are from, which the page does not say. */
const SOURCES =
	/[\\/]lib[\\/]sources[\\/](?:airpath|ceilingrecords|ceilings|constants|fungi|people|water)\.[jt]s$/;
const TEXT = /"([^"\n]*)"/g;
const isCitation = (text: string): boolean => text.length >= 24 && text.includes(" ");
/** Patterns of addresses and identifiers, which no scenario holds. */
const PATTERNS = /[\\/]zod[\\/]v4[\\/]core[\\/]regexes\.js$/;
const FORMAT = /^export const (?!bigint|integer|number|boolean|lowercase|uppercase)(\w+) = \/.*$/gm;

/** The schemas that go by these patterns. */
const SCHEMAS = /[\\/]zod[\\/]v4[\\/](?:core|classic)[\\/]schemas\.js$/;
const FORMAT_SCHEMA =
	/^export const (\$?Zod(?:Email|GUID|UUID|URL|Emoji|NanoID|CUID2?|ULID|XID|KSUID|IPv[46]|CIDRv[46]|Base64(?:URL)?|E164|JWT|MAC|ISO\w+)) = [\s\S]*?^\}(?:, \{[\s\S]*?^\})?\);$/gm;

/** What `z.config({ jitless: true })` sets: else zod tries whether it may compile text, which the page's policy forbids and reports. */
const NO_COMPILING = "globalThis.__zod_globalConfig = { jitless: true };";

/** A module with the exports of another, which are nothing. */
const hollow = (text: string): string =>
	[
		...[...text.matchAll(/^export (?:const|function|class) (\w+)/gm)].map(([, name]) => name!),
		...[...text.matchAll(/^export \{ (.*) \};$/gm)].flatMap(([, names]) =>
			names!.split(", ").map((name) => name.replace(/^.* as /, "")),
		),
	]
		.map((name) => `const _${name} = undefined; export { _${name} as ${name} };`)
		.join("\n");

export const explorePage = pageScript(
	import.meta.url,
	"./view/main",
	"./explore.min.js",
	"The live page contains parts of these packages.",
	{
		name: "leave out what is never asked for",
		setup(build) {
			build.initialOptions.banner = { js: NO_COMPILING };
			build.onLoad({ filter: SECOND_OPINION }, () => ({
				contents: "export const propagateOdex = undefined;",
			}));
			build.onLoad({ filter: ZOD_MESSAGES }, () => ({
				contents: "export default () => ({ localeError: () => undefined });",
			}));
			for (const filter of [SCHEMA_WRITER, CODE_WRITER, OLD_YAML, YAML_WRITER])
				build.onLoad({ filter }, async ({ path }) => ({ contents: hollow(await readFile(path, "utf8")) }));
			const rewritten = (filter: RegExp, rewrite: (text: string) => string): void =>
				build.onLoad({ filter }, async ({ path }) => ({
					contents: rewrite(await readFile(path, "utf8")),
					loader: path.endsWith(".ts") ? "ts" : "js",
				}));
			rewritten(SCENARIO_KEYS, (file) =>
				DESCRIPTIONS.reduce((text, description) => text.replace(description, '$1""'), file),
			);
			rewritten(SOURCES, (file) =>
				file.replace(TEXT, (whole, text: string) => (isCitation(text) ? '""' : whole)),
			);
			rewritten(SCHEMAS, (file) => file.replace(FORMAT_SCHEMA, "export const $1 = undefined;"));
			rewritten(PATTERNS, (file) => file.replace(FORMAT, "export const $1 = undefined;"));
		},
	},
);

/** The script of the live page, with the library in it. */
export const exploreScript = textOf(explorePage);
