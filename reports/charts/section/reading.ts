import { type Html, html } from "../../page/html.ts";
import type { Trace } from "./sawtooth.ts";

/** Steps of the slider over the window. */
const STEPS = 240;

/** What a reading line reads: every curve at each of its steps, from a low to a high value where cycles are shorter than a step. */
export interface Readings {
	readonly spanSeconds: number;
	readonly isTimeOfDay: boolean;
	readonly series: readonly (readonly [name: string, low: readonly number[], high: readonly number[]])[];
}

export function readingsOf(
	spanSeconds: number,
	isTimeOfDay: boolean,
	curves: readonly { readonly name: string; readonly trace: Trace; readonly cycleSeconds: number | null }[],
): Readings {
	const step = spanSeconds / STEPS;
	const series = curves.map(({ name, trace: { timesSeconds, co2Ppm }, cycleSeconds }) => {
		const [low, high]: [number[], number[]] = [[], []];
		const isRange = cycleSeconds !== null && cycleSeconds < 4 * step;
		let i = 0;
		for (let k = 0; k <= STEPS; k++) {
			const t = k * step;
			while (i < timesSeconds.length - 2 && timesSeconds[i + 1]! < t) i++;
			const [a, b] = [timesSeconds[i]!, timesSeconds[i + 1] ?? timesSeconds[i]!];
			const share = b > a ? Math.min(1, Math.max(0, (t - a) / (b - a))) : 0;
			const at = co2Ppm[i]! + share * ((co2Ppm[i + 1] ?? co2Ppm[i]!) - co2Ppm[i]!);
			let [least, most] = [at, at];
			if (isRange)
				for (let j = i; j >= 0 && timesSeconds[j]! > t - cycleSeconds!; j--) {
					least = Math.min(least, co2Ppm[j]!);
					most = Math.max(most, co2Ppm[j]!);
				}
			low.push(Math.round(least));
			high.push(Math.round(most));
		}
		return [name, low, high] as const;
	});
	return { spanSeconds, isTimeOfDay, series };
}

/** A slider laid over the time axis of a hero. */
export const readingLine = (): Html =>
	html`<div class="read noprint"><label for="moment">Read at</label><input id="moment" type="range" min="0" max="${STEPS}" value="0" aria-valuetext="the start"><output for="moment"></output></div>`;

/** Its thumb stands over the moment: the slider reaches half a thumb beyond the axis on both sides. */
export const READING_STYLE = `.read{display:grid;grid-template-columns:calc(34.821% - 8px) calc(47.857% + 16px) minmax(0,1fr);align-items:start;font:400 1rem/1.2 var(--d)}
.read label{text-align:right;padding:.15rem .6rem 0 0}.read input{width:100%;height:1.5rem;margin:0;accent-color:var(--log)}.read output{padding:.15rem 0 0 .75rem;min-height:2.5em;overflow-wrap:anywhere}
@media screen and (max-width:47.5rem){.read{grid-template-columns:auto minmax(0,1fr)}.read output{grid-column:1/-1;padding-left:0;min-height:2.5em}}
@media print{.read{display:none}}
`;

/** Moves the cursor of all drawings, and says what every curve has there. */
export const READING_SCRIPT = `{const data=document.getElementById("readings"),input=document.getElementById("moment");
if(data&&input){const {spanSeconds,isTimeOfDay,series}=JSON.parse(data.textContent),said=document.querySelector(".read output");
const two=(n)=>String(n).padStart(2,"0");
const show=()=>{const k=Number(input.value),t=Math.round(k*spanSeconds/${STEPS}),d=Math.floor(t/86400),h=Math.floor(t/3600)%24,m=Math.floor(t/60)%60,s=t%60;
const when=isTimeOfDay?two(h)+":"+two(m):[d&&d+" d",h&&h+" h",m&&m+" min",s&&s+" s"].filter(Boolean).join(" ")||"0 s";
said.textContent="At "+when+": "+series.map(([name,low,high])=>name+" "+(low[k]===high[k]?low[k]:low[k]+" to "+high[k])+" ppm").join(", ");
input.setAttribute("aria-valuetext",said.textContent);
for(const line of document.querySelectorAll(".cursor")){const [a,b]=line.dataset.x.split(" ").map(Number);line.setAttribute("transform","translate("+(a+(b-a)*k/${STEPS})+" 0)");line.style.visibility="visible";}};
input.addEventListener("input",show);input.addEventListener("focus",show);}}
`;
