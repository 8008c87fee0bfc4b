import { listInputs } from "../model/inputs.ts";
import type { Origin, Scenario } from "../scenario/scenario.ts";
import { chooseSetting } from "./choose.ts";
import type { BindingConstraint, ChoiceStatus, ChooseOptions, TimerSetting } from "./choosetypes.ts";
import { type FirstTest, findFirstTest } from "./firsttest.ts";

/** A test that saves less of the air than this is not worth a day: judgement. */
const MIN_SAVED_SHARE = 0.05;

/** The one thing to do now. */
export type NextStep =
	/** No setting of this rig meets the target: something of it must change. */
	| { readonly code: "change the rig"; readonly bindingConstraint: BindingConstraint }
	/** What is not known costs air, or keeps a setting from the chance asked for. */
	| ({ readonly code: "field test"; readonly isFitted: boolean } & FirstTest)
	/** Enough is known: take the setting into the file. */
	| { readonly code: "take the setting"; readonly setting: TimerSetting }
	/** The setting stands in the file: hold a log of it against the prediction. */
	| { readonly code: "verify"; readonly scheduleName: string };

/** What is known of one input. */
export interface KnownInput {
	readonly path: string;
	readonly label: string;
	readonly text: string;
	readonly origin: Origin["kind"];
	/** Share of the peak's variance over the draws [0..1]; 0 where it is not drawn. */
	readonly varianceShare: number;
}

/** Where a grower stands, and the one step that helps most. */
export interface NextAdvice {
	readonly scenario: Scenario;
	readonly status: ChoiceStatus;
	readonly probability: number | null;
	readonly reliabilityPercent: number | null;
	/** Inputs that a log or the grower has told without a spread, and those that are still open, by their part in the variation. */
	readonly measured: readonly KnownInput[];
	readonly open: readonly KnownInput[];
	readonly step: NextStep;
}

/**
 * What is known of a chamber, what is not, and which one step now narrows the answer most, by the same draws as `choose`.
 *
 * @param scenario as `parseScenario` gives it
 * @param options chance [%], number of draws, seed
 * @returns inputs told and open, and the step with its numbers; air saved [m3/day]
 * @throws InputError for options that make no sense
 *
 * Source: this project.
 * @example findNextStep(parseScenario(starterScenario()), { draws: 200 }).step.code // => "field test"
 */
export function findNextStep(scenario: Scenario, options: ChooseOptions = {}): NextAdvice {
	const choice = chooseSetting(scenario, options);
	const shares = new Map(
		(choice.isFeasible ? (choice.complianceProbability?.inputs ?? []) : []).map((one) => [
			one.path,
			one.varianceShare,
		]),
	);
	const inputs = listInputs(scenario).map(({ path, label, quantity }): KnownInput & { isOpen: boolean } => ({
		path,
		label,
		text: quantity.text,
		origin: quantity.origin.kind,
		varianceShare: shares.get(path) ?? 0,
		// Where nothing is drawn, for no setting holds, what has a range is open.
		isOpen: shares.size > 0 ? shares.has(path) : quantity.low !== null,
	}));
	const strip = ({ isOpen: _, ...one }: (typeof inputs)[number]): KnownInput => one;
	return {
		scenario,
		status: choice.status,
		probability: choice.isFeasible ? choice.recommended.probability : (choice.closest?.probability ?? null),
		reliabilityPercent: choice.reliabilityPercent,
		measured: inputs
			.filter(({ isOpen, origin }) => origin === "fitted" || (!isOpen && origin === "given"))
			.map(strip),
		open: inputs
			.filter(({ isOpen, origin }) => isOpen && origin !== "fitted")
			.toSorted((a, b) => b.varianceShare - a.varianceShare)
			.map(strip),
		step: findStep(scenario, choice),
	};
}

function findStep(scenario: Scenario, choice: ReturnType<typeof chooseSetting>): NextStep {
	if (!choice.isFeasible) return { code: "change the rig", bindingConstraint: choice.bindingConstraint };
	const { recommended, status } = choice;
	const test = findFirstTest(choice);
	const isWorthWhile =
		test !== null &&
		(status !== "holds" || test.savedM3PerDay > MIN_SAVED_SHARE * recommended.summary.freshAirM3PerDay);
	if (test !== null && isWorthWhile) {
		const isFitted =
			listInputs(scenario).find(({ path }) => path === test.path)?.quantity.origin.kind === "fitted";
		return { code: "field test", ...test, isFitted };
	}
	const { onSeconds, offSeconds } = recommended.schedule;
	const standing = scenario.schedules.find(
		({ schedule }) =>
			schedule.kind === "cycle" &&
			Math.abs(schedule.onSeconds - onSeconds) < 1e-9 &&
			Math.abs(schedule.offSeconds - offSeconds) < 1e-9,
	);
	return standing === undefined
		? { code: "take the setting", setting: recommended.setting }
		: { code: "verify", scheduleName: standing.name };
}
