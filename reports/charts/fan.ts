/** The fan runs, from and to [s]. */
export interface Burst {
	readonly startSeconds: number;
	readonly endSeconds: number;
	/** Stands for several bursts that no picture could tell apart. */
	readonly merged?: boolean;
}

/** Runs of the fan as a picture needs them. */
export interface FanTrace {
	readonly bursts: readonly Burst[];
	/** Typical time from one start to the next [s]; null when there are fewer than two. */
	readonly cycleSeconds: number | null;
}

/** Starts this close together [share of the window] cannot be told apart on any screen. */
const CLOSEST = 1 / 1000;
/** Starts that are looked at for the typical distance. */
const SAMPLE = 5000;

const medianGap = (starts: readonly number[]): number | null => {
	const gaps = starts.slice(1).map((start, index) => start - starts[index]!);
	return gaps.sort((a, b) => a - b)[gaps.length >> 1] ?? null;
};

/** Gathers bursts, merging those too close together, so that a year of them stays small. */
export function fanTrace(all: Iterable<Burst>, windowSeconds: number): FanTrace {
	const starts: number[] = [];
	const bursts: Burst[] = [];
	let previousStart = Number.NEGATIVE_INFINITY;
	for (const burst of all) {
		const { startSeconds, endSeconds } = burst;
		if (starts.length < SAMPLE) starts.push(startSeconds);
		const last = bursts.at(-1);
		if (last !== undefined && startSeconds - previousStart < CLOSEST * windowSeconds)
			bursts[bursts.length - 1] = { startSeconds: last.startSeconds, endSeconds, merged: true };
		else bursts.push(burst);
		previousStart = startSeconds;
	}
	return { bursts, cycleSeconds: medianGap(starts) };
}
