import type { Spec as VegaSpec } from "vega";
import type { TopLevelSpec } from "vega-lite";

/** A Vega-Lite chart whose rows come separately. */
export type ChartSpec = TopLevelSpec;
/** The same chart compiled for the live view. */
type CompiledChart = VegaSpec;
/** Rows by the name of their data set. */
type ChartRows = Readonly<Record<string, readonly object[]>>;

const noNetwork = {
	load: (uri: string): never => {
		throw new Error(`a chart asked for ${uri}; charts load nothing`);
	},
	sanitize: (uri: string): never => {
		throw new Error(`a chart links to ${uri}; charts link to nothing`);
	},
};

/** Keeps what Vega and Vega-Lite complain of: a chart that draws something else than it was told is a fault of ours. */
function listeningLogger() {
	const complaints: string[] = [];
	const keep = (...words: readonly unknown[]) => {
		complaints.push(words.join(" "));
		return logger;
	};
	const ignore = () => logger;
	const logger = { level: ignore, error: keep, warn: keep, info: ignore, debug: ignore };
	return {
		// biome-ignore lint/suspicious/noExplicitAny: `level` both reads and sets, which no plain function can say
		logger: logger as any,
		check: (): void => {
			if (complaints.length > 0) throw new Error(`chart: ${complaints.join("; ")}`);
		},
	};
}

/** Compiles a chart to the plain Vega that the browser draws. Throws when a part of it would be dropped. */
export async function compileChart(spec: ChartSpec): Promise<CompiledChart> {
	const { compile } = await import("vega-lite");
	const { logger, check } = listeningLogger();
	const { $schema: _address, ...chart } = compile(spec, { logger }).spec;
	check();
	return chart;
}

/** Halves the size of a path and keeps a tenth of a pixel. */
const roundPaths = (svg: string): string =>
	svg.replace(/ d="([^"]+)"/g, (_, path: string) => {
		const short = path.replace(/-?\d*\.\d+(?:e-?\d+)?/g, (number) =>
			String(Number(Number(number).toFixed(1))),
		);
		return ` d="${short}"`;
	});

/**
 * Draws a compiled chart as SVG text; the same chart always gives the same text.
 * `idPrefix` keeps the ids of several pictures in one page apart. Throws when Vega warns of anything.
 */
export async function drawSvg(chart: CompiledChart, rows: ChartRows, idPrefix: string): Promise<string> {
	const [vega, { expressionInterpreter }] = await Promise.all([import("vega"), import("vega-interpreter")]);
	const { logger, check } = listeningLogger();
	vega.resetSVGDefIds();
	const view = new vega.View(vega.parse(chart, undefined, { ast: true }), {
		renderer: "none",
		expr: expressionInterpreter,
		logger,
		// biome-ignore lint/suspicious/noExplicitAny: it refuses everything, which the types do not foresee
		loader: noNetwork as any,
	});
	try {
		for (const [name, values] of Object.entries(rows)) view.data(name, [...values]);
		const svg = await view.toSVG();
		check();
		return roundPaths(svg).replace(/(id="|url\(#)(clip|gradient)/g, `$1${idPrefix}-$2`);
	} finally {
		view.finalize();
	}
}
