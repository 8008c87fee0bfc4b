import type { Fit } from "../../lib/fit/fittypes.ts";
import { formatDuration } from "../../lib/units/format.ts";
import { timeWords } from "../charts/log/logtime.ts";
import { html } from "../page/html.ts";
import { details, list, type Section } from "../page/section.ts";
import { stackTable } from "../page/table.ts";
import { clockOf } from "../words/logwords.ts";
import { outlierReason } from "./fitremarks.ts";
import { percentOf, toItsError } from "./fitvalues.ts";

/** A burst as a reader sees it. */
export interface ShownBurst {
	readonly number: string;
	readonly began: string;
	readonly length: string;
	/** CO2 of the air before and after, and as read [ppm]. */
	readonly before: string;
	readonly after: string;
	readonly readBefore: string;
	readonly readAfter: string;
	/** Share of the air replaced. */
	readonly replacedFraction: string;
	readonly airChanges: string;
	/** Standard error of the air changes. */
	readonly error: string;
	/** Deviation from the value expected for the length. */
	readonly deviation: string;
	readonly reason: string | null;
}

const NONE = "–";
const lengthWords = (seconds: number): string => formatDuration(Number(seconds.toFixed(1)));
/** `+0.2 %`, `−69 %`, `0.0 %` */
const signedPercent = (share: number): string => {
	const percent = Math.abs(100 * share);
	const text = percent < 9.95 ? percent.toFixed(1) : String(Math.round(percent));
	return `${Number(text) === 0 ? "" : share < 0 ? "−" : "+"}${text} %`;
};
const ppm = (value: number | null): string => (value === null ? NONE : String(Math.round(value)));

/** Bursts in the order of time, as text. */
export function shownBursts({ bursts, series }: Pick<Fit, "bursts" | "series">): readonly ShownBurst[] {
	const clock = clockOf(series);
	return (bursts ?? []).map((one): ShownBurst => {
		const { airChanges, standardError: error, expected } = one;
		const shown = toItsError(airChanges, error, 3);
		const off = expected === null ? null : airChanges / expected - 1;
		return {
			number: String(one.number),
			began: timeWords(clock, one.atSeconds),
			length: one.onSeconds === null ? NONE : lengthWords(one.onSeconds),
			before: ppm(one.beforePpm),
			after: ppm(one.afterPpm),
			readBefore: ppm(one.readBeforePpm),
			readAfter: ppm(one.readAfterPpm),
			replacedFraction: percentOf(one.replacedFraction),
			airChanges: shown.value,
			error: shown.error ?? NONE,
			deviation: off === null ? NONE : signedPercent(off),
			reason: one.reason === null ? null : outlierReason(one.reason),
		};
	});
}

/** `A burst of 6 s replaces 28 % of the air, one of 18 s 62 %.`; null without bursts. */
export function replacedWords({ bursts }: Pick<Fit, "bursts">): string | null {
	const lengths = new Map((bursts ?? []).map(({ onSeconds, expected }) => [onSeconds, expected]));
	const each = [...lengths]
		.flatMap(([seconds, expected]) => (seconds === null ? [] : [{ seconds, expected: expected! }]))
		.sort((a, b) => a.seconds - b.seconds)
		.map(({ seconds, expected }, k) => {
			const [length, share] = [lengthWords(seconds), percentOf(-Math.expm1(-expected))];
			return k === 0 ? `A burst of ${length} replaces ${share} of the air` : `one of ${length} ${share}`;
		});
	return each.length === 0 ? null : `${each.join(", ")}.`;
}

/** Which bursts are excluded; null when all count. */
export function outlierWords({ bursts }: Pick<Fit, "bursts">): string | null {
	const all = bursts ?? [];
	const outliers = all.filter(({ reason }) => reason !== null);
	if (outliers.length === 0) return null;
	const numbers = outliers.map(({ number }) => number).join(", ");
	return outliers.length === 1
		? `Burst ${numbers} of ${all.length} is excluded, because it is unlike the others.`
		: `Bursts ${numbers} of ${all.length} are excluded, because they are unlike the others.`;
}

/** Burst by burst, as the model and the sensor have it. */
export function burstsSection(fit: Fit): Section {
	const shown = shownBursts(fit);
	const outliers = shown.filter(({ reason }) => reason !== null);
	const ppm = "before → after, ppm";
	return {
		id: "bursts",
		heading: "Burst by burst",
		sentence: [replacedWords(fit), outlierWords(fit)].filter((words) => words !== null).join(" "),
		body: [
			outliers.length > 0 &&
				list(outliers.map(({ number, reason }) => html`<strong>${number} is excluded:</strong> ${reason}.`)),
			details({
				summary: "All bursts",
				count: `${shown.length}, with the CO₂ before and after`,
				body: stackTable(
					[
						"burst",
						"began",
						`CO₂ in the air, ${ppm}`,
						`reading, ${ppm}`,
						"air replaced",
						"air changes",
						"SE",
						"deviation",
					],
					shown.map((one) => [
						`${one.number} · ${one.length}${one.reason === null ? "" : " ✗"}`.replaceAll(" ", "\u00a0"),
						one.began,
						`${one.before} → ${one.after}`,
						`${one.readBefore} → ${one.readAfter}`,
						one.replacedFraction,
						one.airChanges,
						one.error,
						one.deviation,
					]),
				),
			}),
			details({
				summary: "How a burst is read",
				count: "air before and after, air changes, deviation",
				body: html`<p>CO₂ in the air is predicted by the model, right before and after each burst. The readings are the last one before the burst, and the one five response times after it or right before the next burst. Air changes n are the logarithm of the ratio of the CO₂ excess over the intake air, before and after the burst. They are corrected for leakage, sensor lag and offset. The burst replaces the fraction 1\u00a0−\u00a0e<sup>−n</sup> of the air. The deviation compares n with the value that all counted bursts give for this length. SE is one standard error.</p>`,
			}),
		],
		isLong: true,
	};
}
