import type { Scenario } from "../../scenario/scenario.ts";
import { CONTACT_OPERATIONS } from "../../sources/timers.ts";
import { MONTH } from "../../time.ts";

/** A contact that lasts less than this is a part to be replaced by the calendar [months]: judgement. */
const MIN_LIFE_MONTHS = 12;

/** Operations that the contact stands: as given, else those of a common small relay. */
export const ratedOperations = ({ timer }: Pick<Scenario, "timer">): number =>
	timer?.ratedOperations?.value ?? CONTACT_OPERATIONS.value;

/** Life of the contact at so many operations a month [months]; infinite for a timer without a contact. */
export const contactMonths = (scenario: Pick<Scenario, "timer">, operationsPerMonth: number): number =>
	scenario.timer?.type === "negative-switching"
		? Number.POSITIVE_INFINITY
		: ratedOperations(scenario) / operationsPerMonth;

/** Life below which a contact binds: what `limits.life` asks for, else a year [months]. */
export const wantedContactMonths = ({ limits }: Pick<Scenario, "limits">): number =>
	limits.life === null ? MIN_LIFE_MONTHS : limits.life.value / MONTH;
