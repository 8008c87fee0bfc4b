/** Limits between the colours [ppm]: quarters of the way from the supply air to the ceiling, and beyond it ever wider. */
export function colourLimits(intakePpm: number, ceilingPpm: number): readonly number[] {
	const way = Math.max(ceilingPpm - intakePpm, ceilingPpm / 10);
	const round = (ppm: number): number => Number(ppm.toPrecision(2));
	const under = [0.25, 0.5, 0.75].map((share) => round(ceilingPpm - way * (1 - share)));
	const over = [1.5, 2.5, 5, 10].map((share) => round(ceilingPpm + way * (share - 1)));
	return [
		...new Set([...under.filter((x) => x < ceilingPpm), ceilingPpm, ...over.filter((x) => x > ceilingPpm)]),
	];
}
