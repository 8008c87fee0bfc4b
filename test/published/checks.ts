import decayCases from "../../fixtures/published/decay.json" with { type: "json" };
import dilutionCases from "../../fixtures/published/dilution.json" with { type: "json" };
import fanCases from "../../fixtures/published/fans.json" with { type: "json" };
import tableCases from "../../fixtures/published/intermittency.json" with { type: "json" };
import intermittentCases from "../../fixtures/published/intermittent.json" with { type: "json" };
import leastSquaresCases from "../../fixtures/published/leastsquares.json" with { type: "json" };
import limitCases from "../../fixtures/published/limits.json" with { type: "json" };
import odeCases from "../../fixtures/published/ode.json" with { type: "json" };
import moistureCases from "../../fixtures/published/psychrometrics.json" with { type: "json" };
import regimeCases from "../../fixtures/published/regimes.json" with { type: "json" };
import sensorCases from "../../fixtures/published/sensors.json" with { type: "json" };
import unitCases from "../../fixtures/published/units.json" with { type: "json" };
import wireCases from "../../fixtures/published/wires.json" with { type: "json" };
import zoneCases from "../../fixtures/published/zones.json" with { type: "json" };
import { type Answer, type Case, checkCases, type Inputs } from "./check.ts";
import { decay } from "./decay.ts";
import { dilution } from "./dilution.ts";
import { fans } from "./fans.ts";
import { intermittent, tables } from "./intermittent.ts";
import { nonlinear } from "./leastsquares.ts";
import { ode } from "./ode.ts";
import { psychrometrics } from "./psychrometrics.ts";
import { regimes } from "./regimes.ts";
import { sensors } from "./sensors.ts";
import { limits, units } from "./units.ts";
import { wires } from "./wires.ts";
import { zones } from "./zones.ts";

type Answers = (id: string, inputs: Inputs) => Record<string, Answer> | undefined;

/** Published cases beside what answers them; a new topic is a line here, a file of cases and a file of answers. */
const topics: readonly (readonly [cases: unknown, answers: Answers])[] = [
	[dilutionCases, dilution],
	[decayCases, decay],
	[intermittentCases, intermittent],
	[regimeCases, regimes],
	[tableCases, tables],
	[sensorCases, sensors],
	[odeCases, ode],
	[leastSquaresCases, nonlinear],
	[fanCases, fans],
	[wireCases, wires],
	[unitCases, units],
	[moistureCases, psychrometrics],
	[limitCases, limits],
	[zoneCases, zones],
];

/** Every published figure beside ours, and those that we do not compute, each with its reason. */
export function publishedChecks(): ReturnType<typeof checkCases> {
	const parts = topics.map(([cases, answers]) => checkCases(cases as readonly Case[], answers));
	return { checks: parts.flatMap((part) => part.checks), notOurs: parts.flatMap((part) => part.notOurs) };
}
