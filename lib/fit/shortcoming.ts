import type { Shortcoming } from "./findings.ts";
import type { Fit } from "./fittypes.ts";

/** A rise or fall counts from so many standard deviations of single readings on. */
const MIN_SCATTERS = 5;
/** A leak test needs so much more CO2 than the air outside [ppm], and should lose this share of it. */
const MIN_EXCESS_PPM = 300;
const MIN_LOST_SHARE = 0.15;
/** Readings at either end of a log whose median stands for it. */
const READINGS = 5;

/** What was wrong with a rise or leak test that told nothing; null where nothing is to be seen. */
export function findShortcoming(
	{ test, parameters, curve }: Pick<Fit, "test" | "parameters" | "curve">,
	intakePpm: number,
): Shortcoming | null {
	if (test === "log" || test === "bursts") return null;
	if (parameters.some(({ name, isIdentifiable }) => isIdentifiable && !name.startsWith("initial")))
		return null;
	const ppm = curve.loggedPpm.filter((_, i) => curve.excluded[i] === 0);
	const median = (of: Float64Array): number => of.slice().sort()[of.length >> 1]!;
	const first = median(ppm.subarray(0, READINGS));
	const last = median(ppm.subarray(-READINGS));
	const steps = ppm.subarray(1).map((one, i) => (one - ppm[i]!) ** 2);
	const scatterPpm = MIN_SCATTERS * Math.sqrt(steps.reduce((sum, one) => sum + one, 0) / (2 * steps.length));
	if (test === "rise") {
		const highest = ppm.reduce((top, one) => Math.max(top, one), 0);
		if (highest - last > Math.max(scatterPpm, (highest - first) / 2))
			return { code: "rise falls", fromPpm: highest, toPpm: last };
		return last - first < scatterPpm ? { code: "small rise", byPpm: last - first } : null;
	}
	const excessPpm = first - intakePpm;
	if (last - first > scatterPpm) return { code: "decay rises", byPpm: last - first };
	if (excessPpm < MIN_EXCESS_PPM) return { code: "small dose", excessPpm };
	const lost = (first - last) / excessPpm;
	return lost < MIN_LOST_SHARE ? { code: "short decay", lost } : null;
}
