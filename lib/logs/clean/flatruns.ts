/** A run is odd when it is so many times longer than nearly all others. */
const ODD_LENGTH = 10;
export const MIN_STUCK = 30;
const MIN_STUCK_SECONDS = 1800;
/** A stuck sensor comes back with a jump [ppm]. */
export const STUCK_JUMP_PPM = 30;

/** Samples of one and the same value, from `from` to before `to`. */
interface FlatRun {
	readonly from: number;
	readonly to: number;
}

/** Visits all runs in order; a log by the second has millions, which are not kept. */
export function visitFlatRuns(ppm: Float64Array, visit: (from: number, to: number) => void): void {
	for (let from = 0; from < ppm.length; ) {
		let to = from + 1;
		while (to < ppm.length && ppm[to] === ppm[from]) to++;
		if (!Number.isNaN(ppm[from]!)) visit(from, to);
		from = to;
	}
}

/** Length that 95 of 100 runs do not exceed; runs of one value may be left aside. */
export function findUsualLength(ppm: Float64Array, aside: number | null): number {
	const counts = new Map<number, number>();
	let runs = 0;
	visitFlatRuns(ppm, (from, to) => {
		if (ppm[from] === aside) return;
		counts.set(to - from, (counts.get(to - from) ?? 0) + 1);
		runs++;
	});
	let upTo = 0;
	for (const [length, count] of [...counts].sort(([a], [b]) => a - b)) {
		upTo += count;
		if (upTo >= 0.95 * runs) return length;
	}
	return 1;
}

/** Least step between neighbouring values, which is that of the display [ppm]; 0 for a log that never moves. */
export function findResolution(ppm: ArrayLike<number>): number {
	let least = Number.POSITIVE_INFINITY;
	for (let i = 1; i < ppm.length; i++) {
		const move = Math.abs(ppm[i]! - ppm[i - 1]!);
		if (move > 0 && move < least) least = move;
	}
	return Number.isFinite(least) ? least : 0;
}

/** A value that stands so long is odd in a log with such a cycle [s]. */
export const minStuckSeconds = (periodSeconds: number | null): number =>
	periodSeconds === null ? MIN_STUCK_SECONDS : Math.max(1.5 * periodSeconds, 300);

/** Runs in which a sensor or logger stood still for so long, as index ranges. */
export function findStuckRuns(
	timesSeconds: Float64Array,
	ppm: Float64Array,
	minSeconds: number,
	resolutionPpm: number,
): readonly FlatRun[] {
	const odd = Math.max(MIN_STUCK, ODD_LENGTH * findUsualLength(ppm, null));
	const stuck: FlatRun[] = [];
	visitFlatRuns(ppm, (from, to) => {
		if (to - from < odd || timesSeconds[to - 1]! - timesSeconds[from]! < minSeconds) return;
		const value = ppm[from]!;
		const jumps = [ppm[from - 1], ppm[to]].map((next) => Math.abs((next ?? value) - value));
		if (jumps.some((jump) => jump > Math.max(STUCK_JUMP_PPM, 4 * resolutionPpm))) stuck.push({ from, to });
	});
	return stuck;
}
