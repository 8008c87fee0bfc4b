import type { Verification } from "../../lib/fit/verification.ts";
import type { Piece } from "../../lib/logs/pieces/piece.ts";
import { ppmWords } from "../fit/fitvalues.ts";
import { type PieceTable, PLACE_HEADS, placeCells } from "../fit/pieces/fitpieces.ts";

/** How many are within. */
export const verifiedPiecesWords = (pieces: readonly Piece<Verification>[]): string => {
	const within = pieces.filter(({ result }) => result?.isWithin === true).length;
	return `${within} of ${pieces.length} parts are within.`;
};

/** Verdict and figures of each piece. */
export const verifyPieceTable = (pieces: readonly Piece<Verification>[]): PieceTable => ({
	head: [...PLACE_HEADS, "within", "RMS difference", "mean", "predicted", "estimated peak"],
	rows: pieces.flatMap((piece) => {
		const { result } = piece;
		if (result === null) return [];
		const failed = result.checks.filter(({ isWithin }) => !isWithin).map(({ name }) => name);
		return [
			[
				...placeCells(piece),
				result.isWithin ? "✓ yes" : `✗ no: ${failed.join(", ")}`,
				...[result.rmsPpm, result.loggedMeanPpm, result.predictedMeanPpm, result.estimatedPeakPpm].map(
					(ppm) => (ppm === null ? "–" : ppmWords(ppm)),
				),
			],
		];
	}),
});
