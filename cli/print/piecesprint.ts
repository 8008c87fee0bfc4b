import type { Fit } from "../../lib/fit/fittypes.ts";
import type { Verification } from "../../lib/fit/verification.ts";
import type { Piece } from "../../lib/logs/pieces/piece.ts";
import { soughtOf } from "../../reports/fit/fitwords.ts";
import type { PieceTable } from "../../reports/fit/pieces/fitpieces.ts";
import { pieceMeans } from "../../reports/fit/pieces/fitpieces.ts";
import { cell } from "./csv.ts";
import { table } from "./print.ts";

/** A table of pieces for people. */
export const pieceText = ({ head, rows }: PieceTable): string =>
	table(
		head,
		rows,
		head.map((_, column) => column).filter((column) => column > 2 && head[column] !== "within"),
	);

type Cell = string | number | boolean | null;

const instant = (startUtcSeconds: number | null, seconds: number): string | null =>
	startUtcSeconds === null ? null : new Date(1000 * (startUtcSeconds + seconds)).toISOString();

/** Where a piece lies, for a program. */
export const pieceJson = ({ fileName, stretch, fault }: Piece<unknown>) => ({
	file: fileName,
	fromSeconds: stretch?.fromSeconds ?? null,
	toSeconds: stretch?.toSeconds ?? null,
	from: stretch === null ? null : instant(stretch.startUtcSeconds, stretch.fromSeconds),
	to: stretch === null ? null : instant(stretch.startUtcSeconds, stretch.toSeconds),
	fault,
});

/** All pieces for a program, each with the JSON of what was made of it. */
export const piecesJson = <T>(
	format: string,
	pieces: readonly Piece<T>[],
	asJson: (result: T) => object,
) => ({
	format,
	pieces: pieces.map((piece) => ({
		...pieceJson(piece),
		result: piece.result === null ? null : asJson(piece.result),
	})),
});

/** One line a piece: where it lies, what was made of it, why it failed. */
function piecesCsv<T>(
	pieces: readonly Piece<T>[],
	names: readonly string[],
	cells: (result: T) => readonly Cell[],
): string {
	const head = ["file", "from_s", "to_s", "from_utc", "to_utc", ...names, "fault"];
	const lines = pieces.map((piece) => {
		const { fault, ...place } = pieceJson(piece);
		const own = piece.result === null ? names.map(() => null) : cells(piece.result);
		return [...Object.values(place), ...own, fault].map(cell).join(",");
	});
	return `${[head.join(","), ...lines].join("\n")}\n`;
}

const UNITS: Readonly<Record<string, string>> = {
	flow: "m3_per_s",
	duration: "s",
	concentration: "ppm",
	"concentration difference": "ppm",
};

/** Estimates of each piece in SI. */
export function fitPiecesCsv(pieces: readonly Piece<Fit>[]): string {
	const sought = pieceMeans(pieces).map(({ parameter }) => parameter);
	const names = sought.flatMap(({ name, dimension }) => {
		const plain = name
			.replaceAll(/[^a-z0-9]+/gi, "_")
			.replace(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`);
		const unit = UNITS[dimension];
		const column = unit === undefined ? plain : `${plain}_${unit}`;
		return [column, `${column}_se`, `${plain}_is_determined`];
	});
	return piecesCsv(pieces, [...names, "rms_ppm", "readings", "is_adequate"], (fit) => {
		const own = soughtOf(fit);
		const { rmsPpm, used, isAdequate } = fit.residuals;
		return [
			...sought.flatMap(({ name }) => {
				const one = own.find((parameter) => parameter.name === name);
				return one === undefined ? [null, null, null] : [one.value, one.standardError, one.isIdentifiable];
			}),
			rmsPpm,
			used,
			isAdequate,
		];
	});
}

/** Verdict and figures of each piece. */
export const verifyPiecesCsv = (pieces: readonly Piece<Verification>[]): string =>
	piecesCsv(
		pieces,
		["is_within", "rms_ppm", "accuracy_ppm", "logged_mean_ppm", "predicted_mean_ppm", "estimated_peak_ppm"],
		({ isWithin, rmsPpm, accuracyPpm, loggedMeanPpm, predictedMeanPpm, estimatedPeakPpm }) => [
			isWithin,
			rmsPpm,
			accuracyPpm,
			loggedMeanPpm,
			predictedMeanPpm,
			estimatedPeakPpm,
		],
	);
