import { readFile } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import type { Plugin } from "esbuild";
import { notices } from "./notices.ts";

/** A script of a page: the file that the build leaves it in, and how it is made from the sources. */
export interface PageScript {
	readonly built: URL;
	readonly bundle: () => Promise<string>;
}

/**
 * A browser script, bundled with esbuild, which only a checkout has.
 * @param home address of the module that asks
 * @param main of the script, seen from there and without its ending
 * @param heading what stands above the licences of the packages in it
 */
export function pageScript(
	home: string,
	main: string,
	built: string,
	heading: string,
	plugin: Plugin,
): PageScript {
	const entry = fileURLToPath(new URL(`${main}${home.endsWith(".ts") ? ".ts" : ".js"}`, home));
	return {
		built: new URL(built, home),
		async bundle() {
			const { build } = await import("esbuild");
			const root = process.cwd();
			const { outputFiles, metafile } = await build({
				absWorkingDir: root,
				metafile: true,
				entryPoints: [entry],
				bundle: true,
				minify: true,
				write: false,
				format: "iife",
				platform: "browser",
				target: "es2022",
				charset: "ascii",
				legalComments: "none",
				plugins: [plugin],
			});
			const legal = notices(Object.keys(metafile.inputs), root).replaceAll("*/", "* /");
			const text = `/*\n${heading}\n\n${legal}*/\n${outputFiles[0]?.text ?? ""}`;
			// A script element ends at the first "</script", wherever it stands.
			return text.replace(/<\/(?=script)/gi, "<\\/").replace(/<!--/g, "<\\!--");
		},
	};
}

/** The text of a script, once asked for: the file that the build left, or bundled from the sources. */
export function textOf({ built, bundle }: PageScript): () => Promise<string> {
	let script: Promise<string> | undefined;
	return () => {
		script ??= readFile(built, "utf8").catch((error: NodeJS.ErrnoException) => {
			if (error.code !== "ENOENT") throw error;
			return bundle();
		});
		return script;
	};
}
