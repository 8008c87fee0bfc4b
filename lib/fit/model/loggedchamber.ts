import { InputError } from "../../errors.ts";
import type { CleanSeries } from "../../logs/log.ts";
import { findClockStart } from "../../logs/times/clockstart.ts";
import { buildModel } from "../../model/build.ts";
import { type Model, meanSourceM3PerS, startModelAt } from "../../model/chamber.ts";
import { isGrowing } from "../../model/crop/respiration.ts";
import type { Schedule } from "../../model/schedule/schedule.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import { MIDNIGHT, sinceMidnight } from "../../time.ts";
import type { FitOptions } from "../fitoptions.ts";
import type { FitTemperature } from "../fittypes.ts";
import { findLogTemperature } from "./temperature.ts";

/** The chamber of a scenario as a log saw it. */
export interface LoggedChamber {
	/** Time 0 of its source is the first sample, and its `generationM3PerS` the mean of that source over the log. */
	readonly model: Model;
	readonly temperature: FitTemperature;
}

/**
 * The mass balance of a scenario in the time of a log.
 * @throws InputError when its crop goes by the clock, and the log does not tell the time of day
 */
export function buildLoggedChamber(
	scenario: Scenario,
	series: CleanSeries,
	options: Pick<FitOptions, "test" | "free" | "fix" | "temperature">,
): LoggedChamber {
	const empty = isEmptied(options);
	const start = findClockStart(series.log);
	const { profile, ...temperature } = findLogTemperature(scenario, series, start, options.temperature);
	const built = startModelAt(buildModel(scenario, profile), start ?? MIDNIGHT);
	const { source, ...still } = built;
	const chamber = empty ? { volumeM3: scenario.chamber.volume.value } : {};
	// Where no crop gives off anything, nothing goes by the clock.
	if (empty && options.fix?.generation === undefined) return { model: { ...still, ...chamber }, temperature };
	if (start === null) refuse(series, cropByClock(scenario, temperature));
	const generationM3PerS = meanOverLog(built, series);
	return { model: { ...built, ...chamber, generationM3PerS }, temperature };
}

/** Crop and substrate are out in a test with dosed CO2, unless respiration is sought with it. */
const isEmptied = ({ test, free }: Pick<FitOptions, "test" | "free">): boolean =>
	(test === "decay" || test === "bursts") && free?.includes("generation") !== true;

/** Something in a scenario that goes by the clock. */
interface ByClock {
	readonly path: string;
	readonly how: string;
	/** Another way out than to say when the log starts. */
	readonly wayOut?: string;
}

const cropByClock = ({ chamber, substrate }: Scenario, { from }: FitTemperature): readonly ByClock[] => [
	...(from === "scenario" && chamber.temperature.amplitude.value > 0
		? [
				{
					path: "chamber.temperature",
					how: "swings with the time of day",
					wayOut: "give the scenario a constant temperature, or log the temperature inside",
				},
			]
		: []),
	...substrate.flatMap((one, index): readonly ByClock[] =>
		isGrowing(one)
			? [
					{
						path: `substrate[${index}].${one.flush === null ? "rates" : "flush"}`,
						how: "counts its hours from midnight",
					},
				]
			: [],
	),
];

/** Refuses a log without time of day beside what goes by the clock. */
function refuse({ log }: Pick<CleanSeries, "log">, found: readonly ByClock[]): void {
	if (found.length === 0) return;
	throw new InputError(
		found.map(({ path, how, wayOut }) => ({
			path,
			message: `${how}, but ${log.fileName} has neither dates nor times of day; say when its first sample was taken (--starts-at 14:00)${wayOut === undefined ? "" : `, ${wayOut}`}`,
		})),
	);
}

/** When a schedule began on the time of the log [s since the first sample]: those with times of day or a list of instants count from midnight. */
export function findScheduleStart({ kind }: Schedule, { log }: Pick<CleanSeries, "log">): number {
	const start = findClockStart(log);
	if (kind === "daily" && start === null)
		refuse({ log }, [{ path: "schedule", how: "goes by the time of day" }]);
	return kind === "daily" || kind === "switches" ? 0 - (start ?? MIDNIGHT) : 0;
}

/** What the scenario's crop gives off on the mean of a log, at the CO2 that the log shows [m3/s]. */
function meanOverLog(model: Model, { timesSeconds, co2Ppm, excluded }: CleanSeries): number {
	const { source, intakePpm } = model;
	const last = timesSeconds.at(-1) ?? 0;
	if (source?.isPpmDependent !== true)
		return meanSourceM3PerS(model, intakePpm, 0, last, Math.max(Math.ceil(last / LEVEL), 1));
	// Between two readings their mean; before the first and after the last, level.
	let sum = 0;
	let from = 0;
	let ppm = Number.NaN;
	const until = (to: number, here: number): void => {
		const mean = Number.isNaN(ppm) ? here : (ppm + here) / 2;
		const parts = Math.ceil((to - from) / LEVEL);
		const step = (to - from) / parts;
		for (let k = 0; k < parts; k++) sum += step * source.m3PerS(sinceMidnight(from + (k + 0.5) * step), mean);
		from = to;
		ppm = here;
	};
	for (let i = 0; i < timesSeconds.length; i++) if (excluded[i] === 0) until(timesSeconds[i]!, co2Ppm[i]!);
	if (!Number.isNaN(ppm)) until(last, ppm);
	return last > 0 ? sum / last : source.m3PerS(MIDNIGHT, intakePpm);
}

/** A source counts as level over so long [s]. */
const LEVEL = 300;
