import type { EvaluatedSetting, FeasibleChoice } from "../../lib/choose/choosetypes.ts";
import { type Curve, sampleCurve } from "../../lib/compare/curves.ts";
import { withRespirationAt } from "../../lib/compare/uncertaininputs.ts";
import { buildModel } from "../../lib/model/build.ts";
import type { Model } from "../../lib/model/chamber.ts";
import { burstCount } from "../../lib/model/schedule/inwords.ts";
import type { DisplayValue } from "../../lib/model/schedule/timer.ts";
import { withMaximumSource } from "../../lib/solve/cycles/maximumsource.ts";
import { periodicState } from "../../lib/solve/periodic.ts";
import { formatDuration, formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import { extremes, ppmScale } from "../charts/section/scale.ts";
import { glyph, oddsSquares, type State } from "../charts/section/states.ts";
import { tile } from "../charts/section/tile.ts";
import { type Html, html } from "../page/html.ts";
import type { Section } from "../page/section.ts";
import { formatGrams, whole } from "../words/format.ts";
import { contactLifeWords } from "./choosewords.ts";

export const PAIR_STYLE = `.pair{display:grid;grid-template-columns:repeat(2,minmax(0,1fr));gap:1.5rem}
.choice{display:grid;align-content:start}.choice .st{font-size:1.375rem}.choice .st svg{width:30px;height:30px}.choice .say{margin:.3rem 0 .9rem}
.dial{display:grid;grid-template-columns:1fr 1fr;gap:.75rem}.dial div{background:var(--bar);color:var(--barink);padding:.5rem .7rem .45rem;min-width:0}
.dial dt{font:700 1.0625rem/1.1 var(--d);display:flex;justify-content:space-between;gap:.5rem}.dial dt span{font-weight:400}
.dial dd{margin:.25rem 0 0;font:700 2.75rem/1 var(--m);letter-spacing:.02em;white-space:nowrap}.dial b{font-weight:700}.dial i{font-style:normal;margin:0 -.12em}.dial small{font:400 1.125rem/1 var(--d);margin-left:.35em}
.of{margin:1rem 0 .45rem;font:400 1.1875rem/1.1 var(--d)}.of b{font-size:2.125rem}.mini{margin-top:1rem}
.costs{margin-top:.9rem;font-size:.9375rem}.costs div{display:flex;justify-content:space-between;gap:.75rem;border-top:1px solid var(--rule);padding:.3rem 0}.costs dd{font-weight:700}
@media screen and (max-width:47.5rem){.pair{gap:1rem}.choice .st{font-size:1.125rem}.choice .st svg{width:24px;height:24px}.choice .say{font-size:.875rem;min-height:3.9em}.dial{grid-template-columns:1fr}.dial dd{font-size:1.875rem}.of b{font-size:1.625rem}.of{font-size:1rem}.costs div{display:block}}
@media print{.pair{gap:6mm}.choice{break-inside:avoid}.choice .st{font-size:11pt}.dial dd{font-size:20pt}.of b{font-size:15pt}.costs{font-size:8.2pt}.costs div{padding:.6mm 0}}
`;

/** Length of the small drawings [s]. */
const WINDOW = 1800;

/** State and word of a chance: at or above the chance asked for it holds, under a tenth it fails. */
export function chanceState(chance: number, reliabilityPercent: number): readonly [State, string] {
	if (100 * chance >= reliabilityPercent) return ["holds", "holds"];
	if (chance < 0.1) return ["fails", "fails"];
	return ["doubt", chance < 0.4 ? "unlikely" : chance <= 0.6 ? "even chance" : "likely"];
}

/** The digits as the display shows them; read out as a number and its unit. */
const digits = ({ display, unit }: DisplayValue): Html =>
	html`<dd><span class="unseen">${display} ${unit}</span><span aria-hidden="true">${[...display].map((sign) => (sign === "." ? html`<i>.</i>` : html`<b>${sign}</b>`))}<small>${unit}</small></span></dd>`;

function settled(model: Model, { schedule }: EvaluatedSetting): Curve {
	const steady = withMaximumSource(model);
	const found = periodicState(steady, schedule);
	return sampleCurve("", steady, schedule, {
		fromSeconds: 0,
		toSeconds: WINDOW,
		...(found.exists ? { start: found.start } : {}),
	});
}

interface Drawn {
	readonly name: string;
	readonly says: string;
	readonly evaluated: EvaluatedSetting;
	/** Of meeting the target [0..1]; null where nothing was drawn. */
	readonly probability: number | null;
	readonly curve: Curve;
	readonly band: { readonly low: Curve; readonly high: Curve } | null;
}

/** The setting for the central values and the one for the chance asked for, equal in size and order; one alone where they are the same. */
export function pairSection(choice: FeasibleChoice, units: UnitSystem): Section {
	const { best, recommended, chanceConstrained, reliabilityPercent, scenario, model } = choice;
	const [low, high] = (["low", "high"] as const).map((end) => {
		const moved = withRespirationAt(scenario, end);
		return moved === null ? null : buildModel(moved);
	});
	const drawn = (
		name: string,
		says: string,
		evaluated: EvaluatedSetting,
		probability: number | null,
	): Drawn => ({
		probability,
		name,
		says,
		evaluated,
		curve: settled(model, evaluated),
		band:
			low == null || high == null ? null : { low: settled(low, evaluated), high: settled(high, evaluated) },
	});
	const central = "Least fresh air, with central input values.";
	const chance = choice.complianceProbability?.probability ?? null;
	const settings =
		recommended === best
			? [drawn("best", central, best, chance)]
			: [
					drawn("best", central, best, chanceConstrained?.bestProbability ?? null),
					drawn("sure", `Least fresh air with a ${reliabilityPercent} % chance.`, recommended, chance),
				];
	const ceilingPpm = scenario.target.ceiling.value;
	const levels = settings.flatMap(({ curve, band }) =>
		[curve, ...(band === null ? [] : [band.low, band.high])].flatMap(({ co2Ppm }) => extremes(co2Ppm)),
	);
	const scale = ppmScale({ ceilingPpm, intakePpm: model.intakePpm, levels }, { top: 24, bottom: 122 });
	return {
		id: "settings",
		heading: settings.length === 1 ? "The setting" : "Two settings, side by side",
		words: settings.length === 1 ? "Setting" : "Two settings",
		sentence: `${chanceConstrained === null ? "" : "Each square is one case in a hundred of what is uncertain: filled, the target is met; open, it is not. "}The drawings show half an hour of the settled pattern${low == null ? "" : "; the band is the range of respiration"}.`,
		body: html`<div class="pair">${settings.map(({ name, says, evaluated, probability, curve, band }) => {
			const { setting, summary, moisture, contactMonths } = evaluated;
			const [state, word]: readonly [State, string] =
				probability === null ? ["holds", "holds"] : chanceState(probability, reliabilityPercent ?? 90);
			const peak = band === null ? summary.peakPpm : extremes(band.high.co2Ppm)[1];
			const title = `Half an hour with ${formatDuration(evaluated.schedule.onSeconds)} on and ${formatDuration(evaluated.schedule.offSeconds)} off: up to ${whole(summary.peakPpm)} ppm with central values`;
			return html`<article class="choice" aria-labelledby="card-${name}"><h3 id="card-${name}">${glyph(state, word)}</h3>
<p class="say">${says}</p>
<dl class="dial"><div><dt>ON<span>fan on</span></dt>${digits(setting.on)}</div><div><dt>OFF<span>fan off</span></dt>${digits(setting.off)}</div></dl>
${probability !== null && html`<p class="of"><b>${Math.round(100 * probability)}</b> of 100 cases hold</p>${oddsSquares(`odds-${name}`, probability)}`}
<figure class="mini">${(
				[
					["wide", 405],
					["narrow", settings.length === 1 ? 358 : 171],
				] as const
			).map(([className, width]) =>
				tile(
					{
						id: `mini-${name}-${className}`,
						className,
						width,
						title,
						trace: curve,
						windowSeconds: WINDOW,
						cycleSeconds: evaluated.schedule.onSeconds + evaluated.schedule.offSeconds,
						peakPpm: peak,
						corner: `${className === "wide" ? "up to " : ""}${whole(peak)} ppm`,
						band,
					},
					scale,
				),
			)}</figure>
<dl class="costs">${(
				[
					["peak, central values", `${whole(summary.peakPpm)} ppm`],
					["fresh air per day", formatQuantity(summary.freshAirM3PerDay, "volume", units)],
					["water out per day", formatGrams(moisture.moistureLossGPerDay)],
					["bursts per day", burstCount(summary.burstsPerDay)],
					["contact life", contactLifeWords(contactMonths)],
				] as const
			).map(([label, value]) => html`<div><dt>${label}</dt><dd>${value}</dd></div>`)}</dl></article>`;
		})}</div>`,
	};
}
