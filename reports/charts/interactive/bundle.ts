import { readFile } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import type { Plugin } from "esbuild";
import { notices } from "./notices.ts";

/**
 * Bundles a browser script with esbuild, which only a checkout has.
 * @param heading what stands above the licences of the packages in it
 */
export async function bundleScript(main: URL, heading: string, plugins: readonly Plugin[]): Promise<string> {
	const { build } = await import("esbuild");
	const root = process.cwd();
	const { outputFiles, metafile } = await build({
		absWorkingDir: root,
		metafile: true,
		entryPoints: [fileURLToPath(main)],
		bundle: true,
		minify: true,
		write: false,
		format: "iife",
		platform: "browser",
		target: "es2022",
		charset: "ascii",
		legalComments: "none",
		plugins: [...plugins],
	});
	const legal = notices(Object.keys(metafile.inputs), root).replaceAll("*/", "* /");
	const text = `/*\n${heading}\n\n${legal}*/\n${outputFiles[0]?.text ?? ""}`;
	// A script element ends at the first "</script", wherever it stands.
	return text.replace(/<\/(?=script)/gi, "<\\/").replace(/<!--/g, "<\\!--");
}

/** A script, once asked for: the file that the build left, or bundled from the sources. */
export function builtScript(built: URL, bundle: () => Promise<string>): () => Promise<string> {
	let script: Promise<string> | undefined;
	return () => {
		script ??= readFile(built, "utf8").catch((error: NodeJS.ErrnoException) => {
			if (error.code !== "ENOENT") throw error;
			return bundle();
		});
		return script;
	};
}

/** Where the build leaves the bundle of the live charts. */
export const BUILT = new URL("./interactive.min.js", import.meta.url);

const main = new URL(import.meta.url.endsWith(".ts") ? "./main.ts" : "./main.js", import.meta.url);

/** Parts of vega that no chart here uses: a fifth of its size. */
const UNUSED = /^vega-(geo|force|hierarchy|label|regression|voronoi|wordcloud|crossfilter)$/;

export const bundle = (): Promise<string> =>
	bundleScript(main, "The live charts contain parts of these packages.", [
		{
			name: "leave out unused transforms",
			setup(build) {
				build.onResolve({ filter: UNUSED }, ({ path, importer }) =>
					/vega[\\/]build[\\/]vega\.module\.js$/.test(importer) ? { path, namespace: "unused" } : null,
				);
				build.onLoad({ filter: /.*/, namespace: "unused" }, () => ({ contents: "export {}" }));
			},
		},
	]);

/** The script of the live charts. */
export const liveScript = builtScript(BUILT, bundle);
