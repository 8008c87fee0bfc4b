/** Colours and type of a chart; a colour may be a CSS custom property of the page it stands in. */
export interface ChartTheme {
	readonly ink: string;
	readonly soft: string;
	readonly grid: string;
	readonly limit: string;
	/** null: nothing is painted behind the chart. */
	readonly paper: string | null;
	readonly series: readonly string[];
	/** What parts a mark or a word from the colours under it. */
	readonly halo: string;
	/** Steps from little CO2 to much, evenly apart in lightness and running from yellow to blue, which no colour blindness confuses. */
	readonly ramp: readonly string[];
}

/**
 * Eight hues whose lightness differs too, found by a search for colours that stay farthest apart in simulated protanopia,
 * deuteranopia and tritanopia; each stands at least 3:1 from its background (tested). The dash tells the lines apart
 * without any colour.
 */
export const LIGHT: ChartTheme = {
	ink: "#1c2321",
	soft: "#56605c",
	grid: "#e3e2dc",
	limit: "#1c2321",
	paper: "#ffffff",
	series: ["#275ab3", "#9c410a", "#00977e", "#590054", "#8f790f", "#886fe9", "#595a5c", "#7d0010"],
	halo: "#ffffff",
	ramp: ["#f7f6d4", "#cbe2ad", "#91d09b", "#49bb9a", "#00a19e", "#00829b", "#09628a", "#2a456c", "#2b2d45"],
};

export const DARK: ChartTheme = {
	ink: "#e9ebe6",
	soft: "#a7b0ab",
	grid: "#2d3331",
	limit: "#e9ebe6",
	paper: "#141817",
	series: ["#2d9ffe", "#f78637", "#18dcc0", "#b973b9", "#ffce44", "#7a6bea", "#aba6a5", "#d63840"],
	halo: "#141817",
	ramp: ["#303250", "#2d4973", "#09658d", "#008399", "#009f98", "#52b592", "#93c794", "#c7d7a6", "#eee9cb"],
};

/** The page's own colours, which change with the reader's light or dark setting. */
export const PAGE: ChartTheme = {
	ink: "var(--ink)",
	soft: "var(--soft)",
	grid: "var(--grid)",
	limit: "var(--limit)",
	paper: null,
	series: LIGHT.series.map((_, index) => `var(--series-${index})`),
	halo: "var(--halo)",
	ramp: LIGHT.ramp.map((_, index) => `var(--ramp-${index})`),
};

const DASHES: readonly (readonly number[])[] = [
	[1, 0],
	[7, 3],
	[2, 2],
	[9, 3, 2, 3],
	[4, 2],
	[12, 3, 2, 3, 2, 3],
	[1, 3],
	[14, 4],
];

/** Colour and dash of the series at a place; the pair does not repeat in the first sixty-four. */
export const strokeOf = (theme: ChartTheme, place: number) => ({
	color: theme.series[place % theme.series.length] ?? theme.ink,
	dash: DASHES[(place + Math.floor(place / theme.series.length)) % DASHES.length] ?? [1, 0],
});

export const CHART_FONT = "system-ui, -apple-system, 'Segoe UI', Roboto, 'DejaVu Sans', sans-serif";

/** Vega-Lite configuration shared by all charts. */
export const chartConfig = (theme: ChartTheme) => ({
	background: theme.paper ?? "transparent",
	font: CHART_FONT,
	// The drawing as a whole is an image with a name; its parts say nothing of their own.
	aria: false,
	mark: { aria: false },
	view: { stroke: null },
	axis: {
		labelColor: theme.soft,
		titleColor: theme.soft,
		labelFontSize: 12,
		titleFontSize: 12,
		titleFontWeight: "normal" as const,
		gridColor: theme.grid,
		domainColor: theme.soft,
		tickColor: theme.soft,
		labelPadding: 6,
	},
});
