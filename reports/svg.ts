import type { Spec as VegaSpec } from "vega";
import type { TopLevelSpec } from "vega-lite";

/** A Vega-Lite chart whose rows come separately. */
export type ChartSpec = TopLevelSpec;
/** The same chart compiled for the live view. */
export type CompiledChart = VegaSpec;
/** Rows by the name of their data set. */
export type ChartRows = Readonly<Record<string, readonly object[]>>;

const noNetwork = {
	load: (uri: string): never => {
		throw new Error(`a chart asked for ${uri}; charts load nothing`);
	},
	sanitize: (uri: string): never => {
		throw new Error(`a chart links to ${uri}; charts link to nothing`);
	},
};

/** A chart that draws something else than it was told is a fault of ours: warnings are errors. */
const complain = (...args: readonly unknown[]): never => {
	throw new Error(`chart: ${args.join(" ")}`);
};
const strictLogger = {
	level() {
		return this;
	},
	error: complain,
	warn: complain,
	info() {
		return this;
	},
	debug() {
		return this;
	},
};

/** Compiles a chart to the plain Vega that the browser draws. */
export async function compileChart(spec: ChartSpec): Promise<CompiledChart> {
	const { compile } = await import("vega-lite");
	// biome-ignore lint/suspicious/noExplicitAny: the logger's own overloads cannot be met without a cast
	return compile(spec, { logger: strictLogger as any }).spec;
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
 * `idPrefix` keeps the ids of several pictures in one page apart.
 */
export async function drawSvg(chart: CompiledChart, rows: ChartRows, idPrefix: string): Promise<string> {
	const [vega, { expressionInterpreter }] = await Promise.all([import("vega"), import("vega-interpreter")]);
	vega.resetSVGDefIds();
	const view = new vega.View(vega.parse(chart, undefined, { ast: true }), {
		renderer: "none",
		expr: expressionInterpreter,
		// biome-ignore lint/suspicious/noExplicitAny: both refuse everything, which the types do not foresee
		...({ loader: noNetwork, logger: strictLogger } as any),
	});
	try {
		for (const [name, values] of Object.entries(rows)) view.data(name, [...values]);
		const svg = await view.toSVG();
		return roundPaths(svg).replace(/(id="|url\(#)(clip|gradient)/g, `$1${idPrefix}-$2`);
	} finally {
		view.finalize();
	}
}
