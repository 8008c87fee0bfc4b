import type { Fit } from "../../../lib/fit/fittypes.ts";
import type { Piece } from "../../../lib/logs/pieces/piece.ts";
import type { Scenario } from "../../../lib/scenario/scenario.ts";
import type { UnitSystem } from "../../../lib/units/format.ts";
import { curvePlotSpec } from "../../charts/curveplot.ts";
import { piecesPlot } from "../../charts/log/respirationdays.ts";
import { PAGE } from "../../charts/theme.ts";
import { stillFigure } from "../../page/figure.ts";
import type { Head } from "../../page/head.ts";
import type { Html } from "../../page/html.ts";
import type { ReportOptions } from "../../page/sections.ts";
import { upperFirst } from "../../words/format.ts";
import { PREMISES } from "../fitpremises.ts";
import { scaledValue, shownValue, unitName } from "../fitvalues.ts";
import { soughtOf } from "../fitwords.ts";
import { failureWords, fitPieceTable, fittedPiecesWords, MEAN_WORDS, pieceMeans } from "./fitpieces.ts";
import { piecesPage } from "./piecespage.ts";

/** The parts that determine something, and the means of the first two values that more than one determines. */
function piecesHead(pieces: readonly Piece<Fit>[], units: UnitSystem): Omit<Head, "what"> {
	const good = pieces.filter(
		({ result }) =>
			result?.residuals.isAdequate && soughtOf(result).some(({ isIdentifiable }) => isIdentifiable),
	).length;
	return {
		state: good === 0 ? "fails" : good === pieces.length ? "holds" : "doubt",
		word:
			good === pieces.length
				? "DETERMINED"
				: good === 0
					? "NOT DETERMINED"
					: `${good} OF ${pieces.length} PARTS`,
		answer: good === 0 ? "No part determines a value." : `Values from ${good} of ${pieces.length} parts.`,
		figures: pieceMeans(pieces)
			.filter(({ count }) => count > 1)
			.slice(0, 2)
			.map(({ parameter, value, standardError, count }) => {
				const shown = shownValue(
					{ name: parameter.name, value, standardError, ci95Low: null, ci95High: null },
					units,
				);
				return {
					value: shown.value,
					unit: shown.unit,
					name: parameter.label,
					note: `mean of ${count} parts`,
				};
			}),
	};
}

/** The report of several fits as one HTML file. */
export async function fitPiecesReport(
	scenario: Scenario,
	pieces: readonly Piece<Fit>[],
	options: ReportOptions,
): Promise<string> {
	const { units } = options;
	const figures: Html[] = [];
	for (const { parameter, count } of pieceMeans(pieces)) {
		if (count < 2) continue;
		const { name, label, initial } = parameter;
		const plot = piecesPlot({
			unit: unitName(name, units),
			what: upperFirst(label),
			pieces: pieces.map(({ result }) => {
				const one = result?.parameters.find((each) => each.name === name && each.isIdentifiable);
				return one === undefined
					? null
					: {
							value: scaledValue(name, one.value, units),
							standardError: one.standardError === null ? null : scaledValue(name, one.standardError, units),
						};
			}),
			expected: scaledValue(name, initial, units),
		});
		figures.push(
			await stillFigure(
				`part-${name}`,
				(width) => curvePlotSpec(plot, PAGE, width),
				`${upperFirst(label)} of each part, in the order of the table.`,
				"A part without a dot does not determine this value, or failed.",
			),
		);
	}
	return piecesPage(
		scenario,
		{
			kind: "fit",
			head: piecesHead(pieces, units),
			verdict: fittedPiecesWords(pieces, units),
			table: fitPieceTable(pieces, units),
			key: MEAN_WORDS,
			figures,
			failures: failureWords(pieces),
			premises: PREMISES,
		},
		options,
	);
}
