import { type Html, html } from "../../page/html.ts";
import { STEPS } from "./reading.ts";

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
if(data&&input){const said=document.querySelector(".read output");
const two=(n)=>String(n).padStart(2,"0");
const show=()=>{const {spanSeconds,isTimeOfDay,series}=JSON.parse(data.textContent),k=Number(input.value),t=Math.round(k*spanSeconds/${STEPS}),d=Math.floor(t/86400),h=Math.floor(t/3600)%24,m=Math.floor(t/60)%60,s=t%60;
const when=isTimeOfDay?two(h)+":"+two(m):[d&&d+" d",h&&h+" h",m&&m+" min",s&&s+" s"].filter(Boolean).join(" ")||"0 s";
said.textContent="At "+when+": "+series.map(([name,low,high])=>name+" "+(low[k]===high[k]?low[k]:low[k]+" to "+high[k])+" ppm").join(", ");
input.setAttribute("aria-valuetext",said.textContent);
for(const line of document.querySelectorAll(".cursor")){const [a,b]=line.dataset.x.split(" ").map(Number);line.setAttribute("transform","translate("+(a+(b-a)*k/${STEPS})+" 0)");line.style.visibility="visible";}};
input.addEventListener("input",show);input.addEventListener("focus",show);}}
`;
