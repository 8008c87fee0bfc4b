import { readFile } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import { notices } from "./notices.ts";

/** Where the build leaves the bundle. */
export const BUILT = new URL("./live.min.js", import.meta.url);

/** Parts of vega that no chart here uses: a fifth of its size. */
const UNUSED = /^vega-(geo|force|hierarchy|label|regression|voronoi|wordcloud|crossfilter)$/;

/** Bundles the browser script with esbuild, which only a checkout has. */
export async function bundle(): Promise<string> {
	const { build } = await import("esbuild");
	const main = new URL(import.meta.url.endsWith(".ts") ? "./main.ts" : "./main.js", import.meta.url);
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
		plugins: [
			{
				name: "leave out unused transforms",
				setup(build) {
					build.onResolve({ filter: UNUSED }, ({ path, importer }) =>
						/vega[\\/]build[\\/]vega\.module\.js$/.test(importer) ? { path, namespace: "unused" } : null,
					);
					build.onLoad({ filter: /.*/, namespace: "unused" }, () => ({ contents: "export {}" }));
				},
			},
		],
	});
	const legal = notices(Object.keys(metafile.inputs), root).replaceAll("*/", "* /");
	const text = `/*\nThe live charts contain parts of these packages.\n\n${legal}*/\n${outputFiles[0]?.text ?? ""}`;
	// A script element ends at the first "</script", wherever it stands.
	return text.replace(/<\/(?=script)/gi, "<\\/").replace(/<!--/g, "<\\!--");
}

let script: Promise<string> | undefined;

/** The script of the live charts: the file that the build left beside this one, or bundled from the sources. */
export const liveScript = (): Promise<string> => {
	script ??= readFile(BUILT, "utf8").catch((error: NodeJS.ErrnoException) => {
		if (error.code !== "ENOENT") throw error;
		return bundle();
	});
	return script;
};
