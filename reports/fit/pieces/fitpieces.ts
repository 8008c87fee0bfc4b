import type { Fit, FittedParameter } from "../../../lib/fit/fittypes.ts";
import type { Piece } from "../../../lib/logs/pieces/piece.ts";
import { formatDuration, type UnitSystem } from "../../../lib/units/format.ts";
import { momentWords } from "../../charts/log/logtime.ts";
import { ppmWords, shownValue, unitName, valueWords } from "../fitvalues.ts";
import { soughtOf } from "../fitwords.ts";

/** A table of pieces: its heads, and a row a piece. */
export interface PieceTable {
	readonly head: readonly string[];
	readonly rows: readonly (readonly string[])[];
}

/** Log, first moment and length of a piece. */
export const placeCells = ({ fileName, stretch }: Piece<unknown>): readonly string[] =>
	stretch === null
		? [fileName, "–", "–"]
		: [
				fileName,
				momentWords(stretch, stretch.fromSeconds),
				formatDuration(Math.round(stretch.toSeconds - stretch.fromSeconds)),
			];
export const PLACE_HEADS: readonly string[] = ["log", "from", "length"];

/** Pieces that failed, each with its reason. */
export const failureWords = (pieces: readonly Piece<unknown>[]): readonly string[] =>
	pieces.flatMap((piece) => {
		const [fileName, from] = placeCells(piece);
		return piece.fault === null
			? []
			: [`${fileName}${piece.stretch === null ? "" : `, ${from}`}: ${piece.fault}`];
	});

/** A parameter over all pieces that determine it. */
export interface PieceMean {
	readonly parameter: FittedParameter;
	readonly count: number;
	/** Mean of the values; null for one piece, else its standard error: scatter or noise by the root of the count, and what the pieces share as it is. */
	readonly value: number;
	readonly standardError: number | null;
}

const fitsOf = (pieces: readonly Piece<Fit>[]): readonly Fit[] =>
	pieces.flatMap(({ result }) => (result === null ? [] : [result]));

/** Share of its variance that is the noise of the log, 0..1. */
const noiseShare = ({ shares }: FittedParameter): number =>
	Math.min(1, Math.max(0, shares.find(({ source }) => source === "noise")?.share ?? 1));

/** What was sought in any of the pieces, in the order of the first that sought it. */
export function pieceMeans(pieces: readonly Piece<Fit>[]): readonly PieceMean[] {
	const each = new Map<string, { parameter: FittedParameter; determined: FittedParameter[] }>();
	for (const parameter of fitsOf(pieces).flatMap(soughtOf)) {
		const known = each.get(parameter.name) ?? { parameter, determined: [] };
		if (parameter.isIdentifiable) known.determined.push(parameter);
		each.set(parameter.name, known);
	}
	return [...each.values()].map(({ parameter, determined }) => {
		const count = determined.length;
		const meanOf = (of: (one: FittedParameter) => number) =>
			determined.reduce((sum, one) => sum + of(one), 0) / count;
		const value = meanOf((one) => one.value);
		const scatter = (meanOf((one) => (one.value - value) ** 2) * count) / (count - 1);
		// Volume, intake, sensor are the same in all pieces: their error does not shrink with the count.
		const noise = meanOf((one) => noiseShare(one) * (one.standardError ?? 0) ** 2);
		const shared = meanOf((one) => Math.sqrt(1 - noiseShare(one)) * (one.standardError ?? 0));
		return {
			parameter,
			count,
			value,
			standardError: count > 1 ? Math.sqrt(Math.max(scatter, noise) / count + shared ** 2) : null,
		};
	});
}

/** The estimates of each piece; a value that its piece does not determine stands in brackets. The last row is the mean of those determined. */
export function fitPieceTable(pieces: readonly Piece<Fit>[], units: UnitSystem): PieceTable {
	const means = pieceMeans(pieces);
	const cells = (one: Parameters<typeof shownValue>[0] | undefined, isDetermined: boolean): string[] => {
		if (one === undefined) return ["–", "–"];
		const { value, error } = shownValue(one, units);
		return [isDetermined ? value : `(${value})`, error ?? "–"];
	};
	return {
		head: [
			...PLACE_HEADS,
			...means.flatMap(({ parameter: { label, name } }) => {
				const unit = unitName(name, units);
				return [unit === "" ? label : `${label}, ${unit}`, "SE"];
			}),
			"RMS residual",
		],
		rows: [
			...pieces.flatMap((piece) => {
				const { result } = piece;
				if (result === null) return [];
				const sought = soughtOf(result);
				return [
					[
						...placeCells(piece),
						...means.flatMap(({ parameter }) => {
							const own = sought.find(({ name }) => name === parameter.name);
							return cells(own, own?.isIdentifiable === true);
						}),
						ppmWords(result.residuals.rmsPpm),
					],
				];
			}),
			[
				"mean of determined",
				"",
				"",
				...means.flatMap(({ parameter, count, value, standardError }) =>
					count === 0
						? ["–", "–"]
						: cells({ name: parameter.name, value, standardError, ci95Low: null, ci95High: null }, true),
				),
				"",
			],
		],
	};
}

/** How many pieces determine something, and the means over them. */
export function fittedPiecesWords(pieces: readonly Piece<Fit>[], units: UnitSystem): string {
	const good = fitsOf(pieces).filter((fit) => soughtOf(fit).some(({ isIdentifiable }) => isIdentifiable));
	const means = pieceMeans(pieces)
		.filter(({ count }) => count > 0)
		.map(
			({ parameter, count, value, standardError }) =>
				`${parameter.label} ${valueWords({ ...parameter, value, standardError }, units)} over ${count}`,
		);
	return `${good.length} of ${pieces.length} parts determine at least one value.${means.length === 0 ? "" : ` Mean: ${means.join("; ")}.`}`;
}

/** How the last row is meant. */
export const MEAN_WORDS =
	"The mean is that of the values that the pieces determine; its SE comes from their scatter and from what all pieces share, such as the volume. A value in brackets is not determined by its piece.";
