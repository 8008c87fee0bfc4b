import { existsSync, readFileSync } from "node:fs";
import { dirname, join } from "node:path";

const FILES = ["LICENSE", "LICENSE.md", "LICENSE.txt", "license", "LICENSE-MIT.txt"];

/**
 * The licences of the packages in a bundle, which ask that their text comes along; packages with one text share it.
 * @param inputs files of the bundle, as esbuild's metafile names them
 * @param root folder that those names start from
 */
export function notices(inputs: Iterable<string>, root: string): string {
	const folders = new Set<string>();
	for (const input of inputs) {
		const found = /^(?:.*\/)?node_modules\/(?:@[^/]+\/)?[^/]+/.exec(input);
		if (found) folders.add(found[0]);
	}
	const texts = new Map<string, string[]>();
	for (const folder of [...folders].sort()) {
		const { name, version, license } = JSON.parse(readFileSync(join(root, folder, "package.json"), "utf8"));
		const file = FILES.map((candidate) => join(root, folder, candidate)).find(existsSync);
		if (file === undefined)
			throw new Error(`${dirname(folder)}: ${name} comes without the text of its licence`);
		const text = readFileSync(file, "utf8").trim();
		texts.set(text, [...(texts.get(text) ?? []), `${name} ${version} (${license})`]);
	}
	return [...texts]
		.map(([text, names]) => `${names.join(", ")}\n\n${text}\n`)
		.join(`\n${"-".repeat(80)}\n\n`);
}
