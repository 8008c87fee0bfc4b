/** The fan runs, from and to [s]. */
export interface Burst {
	readonly startSeconds: number;
	readonly endSeconds: number;
	/** Stands for several bursts that no picture could tell apart. */
	readonly isMerged?: boolean;
}

/** Runs of the fan as a picture needs them. */
export interface FanTrace {
	readonly bursts: readonly Burst[];
	/** Typical time from one start to the next [s]; null when there are fewer than two. */
	readonly cycleSeconds: number | null;
}

/** Starts that are looked at for the typical distance. */
const SAMPLE = 5000;

const medianGap = (starts: readonly number[]): number | null => {
	const gaps = starts.slice(1).map((start, index) => start - starts[index]!);
	return gaps.sort((a, b) => a - b)[gaps.length >> 1] ?? null;
};

/**
 * Gathers bursts, merging those that start less than `most`-ths of the window apart, so that a year of them stays small;
 * a thousand is more than a screen can tell apart.
 */
export function fanTrace(all: Iterable<Burst>, windowSeconds: number, most = 1000): FanTrace {
	const starts: number[] = [];
	const bursts: Burst[] = [];
	let previousStart = Number.NEGATIVE_INFINITY;
	for (const burst of all) {
		const { startSeconds, endSeconds } = burst;
		if (starts.length < SAMPLE) starts.push(startSeconds);
		const last = bursts.at(-1);
		if (last !== undefined && startSeconds - previousStart < windowSeconds / most)
			bursts[bursts.length - 1] = { startSeconds: last.startSeconds, endSeconds, isMerged: true };
		else bursts.push(burst);
		previousStart = startSeconds;
	}
	return { bursts, cycleSeconds: medianGap(starts) };
}
