import { co2Axis } from "../axes.ts";
import { ALONE } from "../marks.ts";
import { lineSign, MIN_ROOMY_WIDTH } from "../plotframe.ts";
import type { ChartSpec } from "../svg.ts";
import type { ChartTheme } from "../theme.ts";
import { brokenLine, type LogTrace, type LogWindow, loggedLayer, loggedSign, logSpec } from "./logframe.ts";

/** What is left over between log and model, over the time of the log. */
export interface ResidualChartData extends LogWindow {
	/** Logged minus model [ppm]. */
	readonly residual: LogTrace;
	/** Half the width of a band around 0, with what it stands for; null: none. */
	readonly allowed: { readonly ppm: number; readonly text: string } | null;
}

const ALLOWED_DASH = [4, 3];

/** Logged minus model, dot by dot or as a band with its mean. */
export function residualSpec(picture: ResidualChartData, theme: ChartTheme, width: number): ChartSpec {
	const { residual, allowed } = picture;
	const isBand = residual.kind === "band";
	const values = isBand
		? residual.band.flatMap(({ low, high }) => [low, high])
		: residual.points.map(({ c }) => c ?? 0);
	const reach = Math.max(1, allowed?.ppm ?? 0, ...values.map(Math.abs));
	const [color, middle] = theme.series as [string, string];
	const legend = [
		{
			text: isBand ? "lowest to highest of neighbouring samples" : "each sample",
			sign: loggedSign(residual, color),
		},
		...(isBand ? [{ text: "their mean", sign: lineSign(middle) }] : []),
		...(allowed === null ? [] : [{ text: allowed.text, sign: lineSign(theme.soft, ALLOWED_DASH) }]),
	];
	return logSpec(
		picture,
		{
			y: co2Axis([{ low: -reach, high: reach }], reach, -reach),
			yTitle: "log minus model (ppm)",
			legend,
			height: width > MIN_ROOMY_WIDTH ? 200 : 170,
			layer({ x, y }) {
				const rule = (ppm: number, mark: object) => ({
					data: ALONE,
					mark: { type: "rule", strokeWidth: 1.4, ...mark },
					encoding: { y: { ...y, datum: ppm } },
				});
				return [
					loggedLayer(residual, color, values.length > width / 2 ? 2.2 : 3.6, { x, y }),
					...(isBand
						? [
								{
									data: { values: residual.band },
									mark: brokenLine(middle, 1.4),
									encoding: { x, y: { ...y, field: "mean" }, detail: { field: "piece" } },
								},
							]
						: []),
					rule(0, { color: theme.limit }),
					...(allowed === null ? [] : [allowed.ppm, -allowed.ppm]).map((ppm) =>
						rule(ppm, { color: theme.soft, strokeDash: ALLOWED_DASH }),
					),
				];
			},
		},
		theme,
		width,
	);
}
