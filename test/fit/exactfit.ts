import { fitLog as fitAnyLog, fitSeries as fitAnySeries } from "../../lib/fit/fit.ts";
import type { FitOptions } from "../../lib/fit/fitoptions.ts";
import type { Fit } from "../../lib/fit/fittypes.ts";
import type { CleanSeries, Log } from "../../lib/logs/log.ts";
import type { Scenario } from "../../lib/scenario/scenario.ts";

// The logs of these tests come from chambers whose volume, mass, intake and sensor are exactly those of their scenarios: their errors
// are those of the noise alone. What is held and not quite known has tests of its own.

export const fitSeries = (scenario: Scenario, series: CleanSeries, options: FitOptions = {}): Fit =>
	fitAnySeries(scenario, series, { exact: true, ...options });

export const fitLog = (scenario: Scenario, log: Log, options: FitOptions = {}): Fit =>
	fitAnyLog(scenario, log, { exact: true, ...options });
