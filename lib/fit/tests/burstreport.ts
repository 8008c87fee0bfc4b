import type { CleanSeries } from "../../logs/log.ts";
import type { Model } from "../../model/chamber.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import type { Parameter } from "../../statistics/leastsquares.ts";
import { studentQuantile } from "../../statistics/student.ts";
import { formatDuration } from "../../units/units.ts";
import { ellipseOf } from "../estimate/confidenceregions.ts";
import { LABELS } from "../estimate/fitplan.ts";
import { isTold, NOT_FOLLOWED, searchWarnings } from "../estimate/identifiability.ts";
import type { Confounded, Fit, FitName, FittedBurst, FittedParameter } from "../fittypes.ts";
import type { Judgement } from "./burstoutliers.ts";
import type { LogBursts } from "./burstsoflog.ts";
import { type Count, SHARED } from "./countedbursts.ts";

/** Time constants after which a sensor has followed. */
const FOLLOWED = 5;
/** Bursts that differ by more than this share may have had two lengths. */
const TWO_LENGTHS = 0.25;

/** Covariance of two parameters of a count, NaN where the log does not tell them. */
export const covarianceOf = ({ estimate }: Count, i: number, j: number): number =>
	estimate.least.covariance[i]![j]! * estimate.inflation;

/** Places of the law's values. */
const OF_LAW: readonly number[] = [0, 1, 2];

/** A figure that follows from the law and the shared parameters. */
interface Reported {
	readonly name: FitName;
	readonly label: string;
	readonly dimension: FittedParameter["dimension"];
	readonly value: number;
	/** Slopes over [air changes a second, loss of a long burst, zero of the sensor, shared parameters]. */
	readonly slopes: readonly number[];
	readonly start: number;
	readonly status: FittedParameter["status"];
	readonly lower: number;
	readonly upper: number;
	readonly atBound: boolean;
	readonly prior?: Parameter["prior"];
}

/** How the test was done. */
interface Done {
	/** Shortest of the lengths [s]. */
	readonly firstSeconds: number;
	/** The flow was given. */
	readonly held: boolean;
	/** The log can part flow and loss. */
	readonly parts: boolean;
}

/** The parameters of a test of counted bursts; errors of what follows from others by their slopes. */
export function burstParameters(
	model: Model,
	{ log }: CleanSeries,
	{ count, offset }: LogBursts,
	{ law, counted }: Judgement,
	{ firstSeconds, held, parts }: Done,
): Pick<Fit, "parameters" | "free" | "correlation" | "worstPair"> {
	const { estimate, parameters: planned, changesAt } = count;
	const { least, rho, used } = estimate;
	const { volumeM3, mixing = 1 } = model;
	const shared = SHARED.map((name, k) => ({ name, k, planned: planned[k]! })).filter(
		({ name, planned: { fixed } }) =>
			name !== "flow" && name !== "offset" && !(name === "respiration" && fixed === true),
	);
	// How the law's three values vary with the shared ones: through the air changes of each burst.
	const covariance = [
		...OF_LAW.map((i) => [
			...law.covariance[i]!,
			...shared.map(({ k }) =>
				law.gain[i]!.reduce(
					(sum, by, b) => sum + by * orNone(covarianceOf(count, changesAt + counted[b]!, k)),
					0,
				),
			),
		]),
		...shared.map(({ k }) => [
			...OF_LAW.map((i) =>
				law.gain[i]!.reduce(
					(sum, by, b) => sum + by * orNone(covarianceOf(count, changesAt + counted[b]!, k)),
					0,
				),
			),
			...shared.map((other) => covarianceOf(count, k, other.k)),
		]),
	];
	const unit = (place: number) => covariance.map((_, i) => (i === place ? 1 : 0));
	const over = (slopes: readonly number[]) => covariance.map((_, i) => slopes[i] ?? 0);

	// Neighbours that are alike tell less of the noise as well.
	const independent =
		(Math.max(used - planned.filter(({ fixed }) => fixed !== true).length, 1) * (1 - rho)) / (1 + rho);
	/** Those of a variance of which a share is scatter from burst to burst, and the rest noise (Welch and Satterthwaite, from memory). */
	const degreesOf = (slopes: readonly number[], variance: number): number => {
		const byBurst = counted.map((_, b) => OF_LAW.reduce((sum, i) => sum + slopes[i]! * law.gain[i]![b]!, 0));
		const share = (law.scatter ** 2 * byBurst.reduce((sum, by) => sum + by * by, 0)) / variance;
		return share > 0
			? 1 / (share ** 2 / Math.max(law.degreesOfFreedom, 1) + (1 - share) ** 2 / independent)
			: independent;
	};
	const air = law.at(firstSeconds);
	const before = {
		perSecond: (mixing * model.fanM3PerS) / volumeM3,
		loss: law.lossOf((model.spinUpSeconds ?? 0) - (model.coastDownSeconds ?? 0), firstSeconds),
	};
	const open = {
		lower: Number.NEGATIVE_INFINITY,
		upper: Number.POSITIVE_INFINITY,
		atBound: false,
	};
	const perM3 = mixing / volumeM3;
	const against = { volumeM3, stepSeconds: log.intervalSeconds };
	const rows: readonly Reported[] = [
		{
			...open,
			name: "per burst",
			label: `air changes per burst of ${formatDuration(firstSeconds)}`,
			dimension: "number",
			value: air.airChanges,
			slopes: over(air.slopes),
			start: before.perSecond * (firstSeconds - before.loss),
			status: "free",
		},
		{
			...open,
			name: "flow",
			label: LABELS.flow![0],
			dimension: "flow",
			value: law.perSecond / perM3,
			slopes: over([1 / perM3]),
			start: model.fanM3PerS,
			status: held ? "fixed" : "free",
		},
		{
			...open,
			name: "spin-up loss",
			label: "on-time lost to speeding up",
			dimension: "duration",
			value: air.lossSeconds,
			slopes: over([0, -air.slopes[1] / law.perSecond]),
			start: before.loss,
			status: parts ? "free" : "fixed",
		},
		{
			...open,
			name: "offset",
			label: LABELS.offset![0],
			dimension: LABELS.offset![1],
			value: offset.start + law.zeroPpm,
			slopes: unit(2),
			start: offset.start,
			status: offset.fixed === true ? "fixed" : offset.prior === undefined ? "free" : "prior",
			prior: offset.prior,
		},
		...shared.map(({ name, k, planned: { fixed, prior, lower, upper, start } }, place): Reported => {
			const [label, dimension] = LABELS[name]!;
			return {
				name,
				label,
				dimension,
				value: least.values[k]!,
				slopes: unit(OF_LAW.length + place),
				start: name === "lag" ? (model.sensorSeconds ?? 0) : start,
				status: fixed === true ? "fixed" : prior === undefined ? "free" : "prior",
				lower: lower ?? open.lower,
				upper: upper ?? open.upper,
				atBound: fixed !== true && least.atBound[k]!,
				prior,
			};
		}),
	];
	const times = (a: readonly number[], b: readonly number[]) =>
		a.reduce(
			(sum, left, i) =>
				left === 0
					? sum
					: sum +
						b.reduce((part, right, j) => (right === 0 ? part : part + left * right * covariance[i]![j]!), 0),
			0,
		);
	const between = rows.map(({ slopes }) => rows.map((other) => times(slopes, other.slopes)));
	const parameters = rows.map((row, k): FittedParameter => {
		const error = Math.sqrt(between[k]![k]!);
		const known = row.status !== "fixed" && Number.isFinite(error) && (row.name !== "lag" || count.lagShows);
		const standardError = known ? error : null;
		const reach = known
			? studentQuantile(0.975, Math.max(degreesOf(row.slopes, error * error), 1)) * error
			: null;
		const { name, label, dimension, value, start, lower, upper, status, atBound, prior } = row;
		return {
			name,
			label,
			dimension,
			value,
			standardError,
			low: reach === null ? null : Math.max(value - reach, lower),
			high: reach === null ? null : value + reach,
			start,
			lower,
			upper,
			status,
			atBound,
			told: isTold(name, value, standardError, status === "prior" ? prior : undefined, against),
		};
	});
	const places = parameters.flatMap(({ status }, k) => (status === "fixed" ? [] : [k]));
	const alike = (i: number, j: number) =>
		i === j ? 1 : between[i]![j]! / Math.sqrt(between[i]![i]! * between[j]![j]!);
	const correlation = rows.map((_, i) => rows.map((_, j) => alike(i, j)));
	return {
		parameters,
		free: places.map((k) => parameters[k]!.name),
		correlation: places.map((i) => places.map((j) => correlation[i]![j]!)),
		worstPair:
			parts && !held
				? ellipseOf(
						parameters,
						[1, 2],
						{ least: { correlation, covariance: between }, inflation: 1 },
						studentQuantile(0.975, Math.max(degreesOf(rows[1]!.slopes, between[1]![1]!), 1)),
					)
				: null,
	};
}

const orNone = (value: number): number => (Number.isFinite(value) ? value : 0);

/** Each burst with the CO2 before and after it. */
export function burstRows(
	model: Model,
	{ co2Ppm }: CleanSeries,
	count: Count,
	{ law, reasons }: Judgement,
	onSeconds: readonly (number | null)[],
): readonly FittedBurst[] {
	const { estimate, samples, changesAt, middleAt } = count;
	const { values } = estimate.least;
	const still = [...samples.timesSeconds.keys()].filter((i) => samples.excluded[i] === 0);
	const middles = onSeconds.map((_, k) => values[middleAt + k]!);
	const reading = (i: number | undefined): number | null => (i === undefined ? null : co2Ppm[i]!);
	return onSeconds.map((on, k): FittedBurst => {
		const around = count.aroundPpm(k);
		const { airChanges, slope } = law.freed(values[changesAt + k]!, around.before - model.supplyPpm);
		const width = count.widthSeconds(k);
		const middle = middles[k]!;
		const until = middles[k + 1] ?? Number.POSITIVE_INFINITY;
		const after = still.filter((i) => samples.timesSeconds[i]! > middle && samples.timesSeconds[i]! < until);
		const rested = middle + FOLLOWED * values[SHARED.indexOf("lag")]!;
		const error = slope * Math.sqrt(covarianceOf(count, changesAt + k, changesAt + k));
		return {
			number: k + 1,
			atSeconds: middle - (on ?? width) / 2,
			onSeconds: on,
			beforePpm: around.before - law.zeroPpm,
			afterPpm: around.after - law.zeroPpm,
			readBeforePpm: reading(still.findLast((i) => samples.timesSeconds[i]! < middle)),
			readAfterPpm: reading(after.find((i) => samples.timesSeconds[i]! >= rested) ?? after.at(-1)),
			airChanges,
			standardError: Number.isFinite(error) ? error : null,
			replaced: -Math.expm1(-airChanges),
			expected: on === null ? null : law.at(on).airChanges,
			reason: reasons[k]!,
		};
	});
}

/** What the test did not tell, and how it could. */
export function burstsUntold(
	parameters: readonly FittedParameter[],
	firstSeconds: number,
	stepSeconds: number,
): readonly Confounded[] {
	const loss = parameters.find(({ name }) => name === "spin-up loss")!;
	const flow = parameters.find(({ name }) => name === "flow")!;
	const found: Confounded[] =
		loss.status === "fixed" && flow.status !== "fixed"
			? [
					{
						names: ["flow", "spin-up loss"],
						why: "bursts of one length tell flow and spin-up loss only together",
						partedBy: `as many bursts of three times the length (${formatDuration(3 * firstSeconds)}), in the same log`,
					},
				]
			: [];
	for (const { name, label, status, told, atBound } of parameters) {
		if (status === "fixed" || told || name === "start" || name === "reading") continue;
		found.push({
			names: [name],
			why:
				name === "lag" && atBound
					? `the sensor follows faster than a sample every ${formatDuration(stepSeconds)} can show`
					: `the error of ${label} is too large for its value`,
			partedBy:
				name === "lag"
					? "samples at a shorter step; the air changes hardly hang on it"
					: name === "leak"
						? "a leak decay in the empty chamber, then --fix leak=…"
						: name === "offset"
							? "the sensor outdoors for half an hour, then --fix offset=…"
							: "more bursts, from a higher dose, with longer waits after them",
		});
	}
	return found;
}

/** What else is to be known of a test of counted bursts. */
export function burstWarnings(
	scenario: Scenario,
	{ count, used, rises, late }: LogBursts,
	{ law, counted }: Judgement,
	bursts: readonly FittedBurst[],
	follows: boolean,
): string[] {
	const warnings: string[] = [];
	if (!follows) warnings.push(NOT_FOLLOWED);
	const moment = (seconds: number) => formatDuration(Math.round(seconds));
	if (rises)
		warnings.push(
			`CO2 rises in this log, so only its part from ${moment(used.fromSeconds)} to ${moment(used.toSeconds)} after the first sample counts; dose once, before the first burst`,
		);
	if (late.length > 0)
		warnings.push(
			`the fall ${moment(late[0]!)} after the first sample comes too late to be counted; log on after the last burst as long as after the others`,
		);
	if (scenario.chamber.stagnant !== null)
		warnings.push(
			"the bursts are counted as if all air were mixed, whatever chamber.stagnant says: stir it with a small fan while the test runs",
		);
	const middle = bursts.find(({ number }) => number === counted[counted.length >> 1]! + 1)!;
	if (law.scatterStands) {
		const share = law.scatter / middle.expected!;
		const longer = formatDuration(Number((law.scatter / law.perSecond).toPrecision(1)));
		warnings.push(
			`the bursts differ by ± ${(100 * share).toPrecision(2)} %, more than the noise explains, as if each were about ${longer} longer or shorter; the errors count that in${share > TWO_LENGTHS ? "; if they had two lengths, name both" : ""}`,
		);
	}
	return [...warnings, ...searchWarnings(count.estimate)];
}
