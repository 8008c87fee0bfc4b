/** A fall of CO2 in a log that falls in steps, roughly. */
export interface ConcentrationStep {
	/** Middle of the fall in the air, the sensor's answer counted back, and how far it may be off (standard deviation) [s]. */
	readonly atSeconds: number;
	readonly offSeconds: number;
	/** ln of the excess before over that after [-], and the fall itself [ppm]; below 0 for a rise. */
	readonly airChanges: number;
	readonly dropPpm: number;
}

/** What is known before the falls are sought. */
export interface StepDetectionInput {
	/** CO2 of the air drawn in, as this sensor shows it [ppm]. */
	readonly intakePpm: number;
	/** Time constant of the sensor as it is said to be; 0 where nothing is said [s]. */
	readonly responseSeconds: number;
	/** How long a fall may take in the air [s]. */
	readonly lengthsSeconds: readonly number[];
	/** Share of the excess that a leak takes [1/s]. */
	readonly infiltrationPerS: number;
}

/** A fall stands out by so many standard errors, widened for neighbours that are alike, and by this share of the excess. */
const MIN_STANDARD_ERRORS = 4;
const CORRELATION_FACTOR = 1.55;
const MIN_STEP_SHARE = 0.03;
/** Fewest samples before and after a fall that are looked at. */
const MIN_SAMPLES = 3;
/** More are not counted by hand. */
const MAX_STEPS = 100;
/** Time constants tried over the one that is said, and where none is [s]. */
const RESPONSE_FACTORS = [1 / 3, 2 / 3, 1, 1.4, 2];
const DEFAULT_RESPONSES_SECONDS = [0, 10, 30, 60, 120];

/**
 * Finds falls and rises of a log that falls in steps, and the time constant of the sensor that suits them best.
 * @param timesSeconds samples that count, ascending [s]
 */
export function detectSteps(
	timesSeconds: ArrayLike<number>,
	co2Ppm: ArrayLike<number>,
	asked: StepDetectionInput,
): { readonly steps: readonly ConcentrationStep[]; readonly responseSeconds: number } {
	const stated = asked.responseSeconds;
	const each = (
		stated > 0 ? RESPONSE_FACTORS.map((factor) => factor * stated) : DEFAULT_RESPONSES_SECONDS
	).map((responseSeconds) => detectWithResponse(timesSeconds, co2Ppm, { ...asked, responseSeconds }));
	return each.reduce((best, one) => (one.cost < best.cost ? one : best));
}

/**
 * The greatest first: where a step of the excess over the supply air, with the sensor's answer to it, explains most. Each is taken
 * out of the log, which is scaled up for what the leak took, before the next is sought. `cost`: Schwarz's criterion, by which another fall must
 * explain more than chance would.
 */
function detectWithResponse(
	timesSeconds: ArrayLike<number>,
	co2Ppm: ArrayLike<number>,
	{ intakePpm, responseSeconds, lengthsSeconds, infiltrationPerS }: StepDetectionInput,
): { readonly steps: readonly ConcentrationStep[]; readonly responseSeconds: number; readonly cost: number } {
	const longest = Math.max(...lengthsSeconds);
	const samples = timesSeconds.length;
	const usual = (timesSeconds[samples - 1]! - timesSeconds[0]!) / Math.max(samples - 1, 1);
	// A slow answer is seen as well by the mean of some samples.
	const bin = Math.max(1, Math.floor(Math.max(responseSeconds / 8, Math.min(...lengthsSeconds) / 4) / usual));
	const n = Math.floor(samples / bin);
	const step = usual * bin;
	const t = new Float64Array(n);
	const y = new Float64Array(n);
	for (let i = 0; i < n * bin; i++) {
		t[Math.floor(i / bin)]! += timesSeconds[i]! / bin;
		y[Math.floor(i / bin)]! +=
			((co2Ppm[i]! - intakePpm) * Math.exp(infiltrationPerS * timesSeconds[i]!)) / bin;
	}
	const noise = estimateNoise(y);
	const excess = y.map((value) => Math.max(value, noise));

	const before = Math.max(MIN_SAMPLES, Math.round((2 * responseSeconds + longest) / step));
	const after = before + Math.round(responseSeconds / step);
	const drop = new Float64Array(n);
	const lasting = new Float64Array(n);
	const gains = new Float64Array(n);
	const middle = (k: number): number => (t[k - 1]! + t[k]!) / 2;
	/** The step right before sample k that explains most. */
	const look = (k: number): void => {
		const from = Math.max(0, k - before);
		const to = Math.min(n, k + after);
		gains[k] = 0;
		if (k - from < MIN_SAMPLES || to - k < MIN_SAMPLES) return;
		for (const length of lengthsSeconds) {
			let [sh, sy, shh, shy] = [0, 0, 0, 0];
			for (let i = from; i < to; i++) {
				const h = -respond(t[i]! - middle(k), length, responseSeconds);
				sh += h;
				sy += y[i]!;
				shh += h * h;
				shy += h * y[i]!;
			}
			const spread = shh - (sh * sh) / (to - from);
			const size = (shy - (sh * sy) / (to - from)) / spread;
			const least = Math.max(
				(MIN_STANDARD_ERRORS * CORRELATION_FACTOR * noise) / Math.sqrt(spread),
				MIN_STEP_SHARE * excess[Math.max(k - 2, 0)]!,
			);
			const gain = size * size * spread;
			if (Math.abs(size) > least && gain > gains[k]!) [gains[k], drop[k], lasting[k]] = [gain, size, length];
		}
	};
	for (let k = 0; k < n; k++) look(k);
	const found: { atSeconds: number; dropPpm: number }[] = [];
	while (found.length < MAX_STEPS) {
		const k = gains.reduce((top, value, i) => (value > gains[top]! ? i : top), 0);
		if (gains[k] === 0) break;
		const [atSeconds, dropPpm] = [middle(k), drop[k]!];
		found.push({ atSeconds, dropPpm });
		for (let i = 0; i < n; i++) y[i]! += dropPpm * respond(t[i]! - atSeconds, lasting[k]!, responseSeconds);
		for (let i = Math.max(0, k - after - before); i < Math.min(n, k + before + after); i++) look(i);
	}
	// What is left is the level before the first fall, and what a leak takes beyond the one that was said: a share of the excess, summed over time.
	const taken = excess.slice();
	for (let i = 1; i < n; i++) taken[i]! += taken[i - 1]!;
	const trend = fitLine(taken, y);
	let level = trend.level;
	const cost =
		samples * Math.log((Math.max(trend.left, 1e-9) / n) * bin) + 3 * found.length * Math.log(samples);
	const offSeconds = Math.hypot(step / 3, responseSeconds);
	const steps = joinSteps(found, longest + 2 * step + 2 * responseSeconds).flatMap(
		({ atSeconds, dropPpm }): ConcentrationStep[] => {
			const high = Math.max(level, noise);
			level -= dropPpm;
			const airChanges = Math.log(high / Math.max(level, noise));
			return Math.abs(airChanges) > MIN_STEP_SHARE
				? [{ atSeconds, offSeconds, airChanges, dropPpm: dropPpm * Math.exp(-infiltrationPerS * atSeconds) }]
				: [];
		},
	);
	return { steps, responseSeconds, cost };
}

/** Straight line through points: its mean level, and the sum of squares that it leaves. */
function fitLine(x: Float64Array, y: Float64Array): { readonly level: number; readonly left: number } {
	const mean = (of: Float64Array) => of.reduce((sum, value) => sum + value, 0) / of.length;
	const [mx, my] = [mean(x), mean(y)];
	let [xx, xy, yy] = [0, 0, 0];
	for (let i = 0; i < x.length; i++) {
		xx += (x[i]! - mx) ** 2;
		xy += (x[i]! - mx) * (y[i]! - my);
		yy += (y[i]! - my) ** 2;
	}
	return { level: my, left: xx > 0 ? yy - (xy * xy) / xx : yy };
}

/** Parts of one fall, closer together than bursts are, become one. */
function joinSteps(
	found: readonly { readonly atSeconds: number; readonly dropPpm: number }[],
	withinSeconds: number,
): readonly { readonly atSeconds: number; readonly dropPpm: number }[] {
	const each: { atSeconds: number; dropPpm: number }[] = [];
	for (const one of [...found].sort((a, b) => a.atSeconds - b.atSeconds)) {
		const last = each.at(-1);
		if (last === undefined || one.atSeconds - last.atSeconds > withinSeconds) {
			each.push({ ...one });
			continue;
		}
		const [a, b] = [Math.abs(last.dropPpm), Math.abs(one.dropPpm)];
		last.atSeconds = (a * last.atSeconds + b * one.atSeconds) / (a + b);
		last.dropPpm += one.dropPpm;
	}
	return each;
}

/** Share of a fall that the sensor shows so long after its middle, when the fall takes `length` in the air [-]. */
function respond(seconds: number, length: number, responseSeconds: number): number {
	const filled = (u: number): number =>
		u <= 0 ? 0 : responseSeconds > 0 ? u + responseSeconds * Math.expm1(-u / responseSeconds) : u;
	return (filled(seconds + length / 2) - filled(seconds - length / 2)) / length;
}

/** Standard deviation of the noise [ppm], from how far readings go up over three samples: neither falls nor a leak raise them. */
function estimateNoise(y: ArrayLike<number>): number {
	const over = 3;
	const down = Float64Array.from(
		{ length: Math.max(y.length - over, 0) },
		(_, i) => y[i]! - y[i + over]!,
	).sort();
	const at = (share: number) => down[Math.floor(share * (down.length - 1))] ?? 0;
	return Math.max((at(0.25) - at(0.05)) / 0.97 / Math.SQRT2, 0.5);
}
