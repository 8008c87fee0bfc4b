import type { ComplianceProbability, FeasibleChoice } from "../../lib/choose/choosetypes.ts";
import { thin } from "../../lib/compare/curves.ts";
import { sensitivitySpec } from "../charts/choose/sensitivity.ts";
import { bandSpec } from "../charts/choose/uncertainband.ts";
import { PAGE } from "../charts/theme.ts";
import { stillFigure } from "../page/figure.ts";
import { type Html, html } from "../page/html.ts";
import { section } from "../page/page.ts";
import { factsTable } from "../page/table.ts";
import {
	complianceWords,
	disturbanceWords,
	firstTestWords,
	inputLabel,
	linkedInputsWords,
} from "./choosewords.ts";
import { fieldTestWords } from "./fieldtestwords.ts";

/** Points of a quantile over two cycles. */
const BAND_POINTS = 400;

/** The chance of meeting the target, and the inputs that it depends on. */
export async function chanceSections(
	complianceProbability: ComplianceProbability,
	choice: FeasibleChoice,
): Promise<Html[]> {
	const { band, inputs } = complianceProbability;
	const { recommended, scenario } = choice;
	const { criterion } = recommended.summary;
	const linked = linkedInputsWords(choice);
	const kept = thin(band.timesSeconds, [band.p05Ppm, band.medianPpm, band.p95Ppm], BAND_POINTS);
	const pick = (values: Float64Array): number[] => kept.map((place) => values[place]!);
	const picture = {
		timesSeconds: pick(band.timesSeconds),
		p05Ppm: pick(band.p05Ppm),
		p50Ppm: pick(band.medianPpm),
		p95Ppm: pick(band.p95Ppm),
		ceilingPpm: scenario.target.ceiling.value,
		floorPpm: scenario.target.floor?.value ?? null,
	};
	const sure = section(
		"chance",
		"Chance of meeting the target",
		html`<p>${complianceWords(complianceProbability, recommended.summary)}${linked !== null && ` ${linked}`}</p>`,
		html`<p>${disturbanceWords(complianceProbability) ?? "Nothing that may happen in service is counted in."}</p>`,
		await stillFigure(
			"band",
			(width) => bandSpec(picture, PAGE, width),
			"Two cycles of the chosen setting, over random draws of the uncertain inputs.",
			"At every moment 90 % of the draws lie in the band between 5 % and 95 %; the line is the median.",
		),
		html`<p class="note">Drawn with seed ${complianceProbability.seed}; the same seed gives the same values.</p>`,
	);
	const first = firstTestWords(choice);
	if (first === null) return [sure];
	const sensitivity = {
		inputs: inputs.map(({ path, peakAtLowPpm, peakAtHighPpm, varianceShare }) => ({
			label: inputLabel(scenario, path),
			peakAtLowPpm,
			peakAtHighPpm,
			share: varianceShare,
		})),
		centralPpm: criterion.statistic === "peak" ? criterion.valuePpm : recommended.summary.peakPpm,
		ceilingPpm: criterion.ceilingPpm,
		statistic: "peak",
	};
	return [
		sure,
		section(
			"matters",
			"Which input matters most",
			html`<p>${first}</p>`,
			await stillFigure(
				"matters",
				// It has no axis at the left, whose room goes to the plot.
				(width) => sensitivitySpec(sensitivity, PAGE, width + 54),
				"Peak CO₂ of the chosen setting with one input at its low and at its high end.",
				"The percentage before each name is its share of the variation, from squared rank correlations. Hollow: the input at its 5 % end; filled: at its 95 % end. Linked inputs move as expected with it; all others stay central.",
			),
			inputs.length > 1 &&
				factsTable(
					"Field tests",
					inputs.flatMap(({ path, text, fieldTest }) =>
						fieldTest === null
							? []
							: [[`${inputLabel(scenario, path)}, ${text}`, fieldTestWords(fieldTest)] as const],
					),
				),
		),
	];
}
