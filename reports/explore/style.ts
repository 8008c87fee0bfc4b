/** What the live page has beside the style of every report. */
export const EXPLORE_STYLE = `
[hidden]{display:none!important}
header,main,footer{max-width:82rem}
header{padding-top:1.25rem}
h1{font-size:1.6rem;margin:0 0 .2rem}
header .lead{margin:.2rem 0 .75rem}
.explore{position:relative;display:grid;grid-template-columns:19rem minmax(0,1fr) minmax(0,22rem);grid-template-rows:auto auto auto 1fr;column-gap:1.75rem;align-items:start}
.controls{grid-column:1;grid-row:1/span 4;padding-top:2.75rem}
.bar{position:absolute;left:0;top:0}
.bar .buttons{gap:.5rem}
.bar button,#reset{font-size:.875rem}
#reset{position:absolute;left:8.1rem;top:0}
.says,.curve{grid-column:2/span 2}
.explore figure{margin:0 0 .9rem}
.explore figcaption{margin:.35rem .5rem .1rem;line-height:1.45}
.settings{grid-column:2;grid-row:3}
.numbers{grid-column:3;grid-row:3}
.explore .stale{display:none;margin:0 0 .5rem;font-weight:600}
.explore:has([aria-invalid=true]) .stale{display:block}
.explore .verdict{font-size:1.2rem;margin:0 0 .5rem;max-width:none;min-height:2.9em;text-wrap:wrap}
.explore .note{margin:.25rem 0 .75rem;min-height:3.2em;max-width:none;font-size:.875rem}
.strip{display:none}
figure{margin:0 0 1rem}
figcaption{max-width:none}
fieldset{border:0;border-top:1px solid var(--line);margin:0;padding:.6rem 0 .5rem;min-width:0}
legend{font-weight:600;padding:0 .5rem 0 0;font-size:.9375rem;color:var(--accent)}
.schedule{border:1px solid var(--line);border-left:4px solid var(--accent);background:var(--panel);border-radius:6px;padding:.25rem .75rem .75rem;margin-bottom:.75rem}
.control{display:grid;grid-template-columns:1fr auto 8.75rem;align-items:center;column-gap:.4rem;margin:.3rem 0 .5rem;font-size:.9375rem}
.control label{grid-column:1}
.control>.back{grid-column:2}
.control>input[type=text],.control>select{grid-column:3;width:100%}
.control>input[type=range],.control>.remark,.control>.fault{grid-column:1/-1}
input[type=text],select,button{font:inherit;font-size:.9375rem;color:var(--ink);background:var(--panel);border:1px solid var(--soft);border-radius:4px;padding:.2rem .5rem;min-height:2rem}
input[type=text]{font-variant-numeric:tabular-nums}
.control>input[type=text]{text-align:right}
input[aria-invalid]{border:2px solid var(--fault);padding:calc(.2rem - 1px) calc(.5rem - 1px)}
input[type=range]{width:100%;height:1.5rem;margin:0;accent-color:var(--accent)}
input[type=radio],input[type=checkbox]{accent-color:var(--accent);width:1.1rem;height:1.1rem;margin:0}
button{cursor:pointer}
button:hover{border-color:var(--accent);color:var(--accent)}
button[aria-disabled=true]{opacity:.5;cursor:default;border-color:var(--soft);color:var(--ink)}
[aria-busy=true] .numbers td{color:var(--soft)}
button.back{border:0;background:none;color:var(--accent);padding:0 .35rem;min-height:1.75rem;min-width:1.75rem;font-size:1rem}
.remark{margin:0;font-size:.8125rem;line-height:1.35;color:var(--soft)}
:root{--fault:#a3241b}
@media (prefers-color-scheme:dark){:root{--fault:#ff9d8f}}
.fault{margin:.15rem 0 0;font-size:.875rem;line-height:1.35;color:var(--fault);font-weight:600;overflow-wrap:anywhere}
.tools,.radios,.buttons{display:flex;flex-wrap:wrap;align-items:center;gap:.4rem .9rem}
.tools{justify-content:space-between;margin-bottom:.75rem}
.radios{font-size:.9375rem}
.radios>span{color:var(--soft)}
.radio,.check{display:inline-flex;align-items:center;gap:.4rem;min-height:2rem}
#which{margin:.1rem 0 .2rem}
.schedule .buttons{margin-top:.5rem}
.schedule .buttons>*{flex:1 1 100%;min-width:0}
.chart svg{display:block;max-width:100%}
.explore text{font:12px system-ui,-apple-system,"Segoe UI",Roboto,"DejaVu Sans",sans-serif;fill:var(--ink)}
.explore text.axis{fill:var(--soft)}
text.end{text-anchor:end}
text.middle{text-anchor:middle}
.grid{stroke:var(--grid);stroke-width:1}
.limit{stroke:var(--limit);stroke-width:1.4}
.line{fill:none;stroke-width:1.5;stroke-linejoin:round;stroke-linecap:butt}
.line.now{stroke-width:2.2}
.band{fill-opacity:.25;stroke-width:1.2}
.sensed{fill:none;stroke-width:2;stroke-dasharray:.1 4;stroke-linecap:round}
.track{stroke:var(--grid)}
.bar{fill:none}
.swatch{stroke-width:2.2}
#map{touch-action:pan-y}
#sawtooth,#map,.says,.numbers,.control,.strip,#legend{contain:layout style}
.step{stroke:none}
.contour,.off-limit,.air,.halo{fill:none;stroke:var(--limit);stroke-width:2.4;stroke-linejoin:round}
.halo{stroke:var(--halo);stroke-width:5.5;opacity:.85}
.halo.thin{stroke-width:3.5;opacity:.7}
.off-limit{stroke-width:2;stroke-dasharray:6 4}
.air{stroke-width:1.3;stroke-dasharray:3 3}
.point{touch-action:none;cursor:grab;outline:none}
.point:active{cursor:grabbing}
.reach{fill:transparent}
.ring{fill:var(--panel);stroke:var(--ink);stroke-width:2}
.point.now .ring{fill:var(--accent);stroke:var(--halo);stroke-width:2.5}
.explore .letter{text-anchor:middle;font-weight:700;pointer-events:none}
.explore .now .letter{fill:var(--panel)}
.point:not(.now){pointer-events:none}
.point:focus-visible .ring{stroke:var(--ink);stroke-width:3.5}
#legend{display:flex;flex-wrap:wrap;gap:.1rem .9rem;list-style:none;padding:0;margin:.25rem .5rem 0 3.1rem;font-size:.75rem;max-width:none;color:var(--soft)}
#legend li{display:inline-flex;align-items:center;gap:.35rem;margin:0}
.numbers .figures{font-size:.875rem;table-layout:fixed;width:100%}
.numbers .figures thead th{min-width:0;padding-top:0}
.numbers .figures thead th:first-child{width:46%}
.numbers th,.numbers td{padding:.28rem .5rem}
.numbers th:first-child{padding-left:0}
.numbers .figures tbody th{min-width:0;position:static}
.numbers td.number{white-space:nowrap}
.share #link{width:100%;max-width:44rem;display:block;margin:.25rem 0;color:var(--soft)}
.share .buttons{margin:.5rem 0 .75rem}
[data-waiting]{visibility:hidden}
@media (max-width:75rem){
.explore{grid-template-columns:18rem minmax(0,1fr);grid-template-rows:repeat(4,auto) 1fr}
.controls{grid-row:1/span 5}
.says,.curve,.settings,.numbers{grid-column:2;grid-row:auto}
}
@media (max-width:52rem){
.explore{display:block}
.bar{display:flex;align-items:center;justify-content:space-between;gap:.5rem;position:sticky;z-index:2;margin:0 -1.25rem .75rem;padding:.3rem 1.25rem;background:var(--panel);border-bottom:1px solid var(--line)}
.bar .buttons{flex-wrap:nowrap;gap:.4rem}
.strip{display:flex;flex-wrap:wrap;gap:0 1rem;margin:0;font-size:.875rem;line-height:1.35;font-weight:600}
.controls{padding-top:0;margin-bottom:1.5rem}
#reset{position:static}
.control{grid-template-columns:1fr auto 10rem}
input[type=text],select,button{min-height:2.5rem;font-size:1rem}
input[type=range]{height:2.25rem}
.radio,.check{min-height:2.5rem}
button.back{min-width:2.5rem}
.settings .chart{padding-left:.1rem;padding-right:.1rem}
}
@media print{
:root{--fault:#a3241b}
.explore{display:grid;grid-template-columns:56% 1fr;grid-template-rows:auto;column-gap:6mm}
.says,.curve,.controls{grid-column:1/-1;grid-row:auto}
.settings{grid-column:1;grid-row:auto}
.numbers{grid-column:2;grid-row:auto}
.numbers .figures,.numbers .figures tbody{font-size:8.5pt;break-inside:auto}
.explore figcaption{font-size:7.5pt}
.numbers{break-inside:avoid}
.tools,.bar,.control>input[type=range],.buttons,.back,.share,.radios{display:none}
.controls{padding-top:0;columns:3;column-gap:2rem;margin-bottom:1rem}
fieldset{break-inside:avoid;padding:.2rem 0}
.schedule{border:0;border-top:1px solid var(--line);padding:.2rem 0;background:none;margin:0}
.control{grid-template-columns:auto minmax(0,1fr);margin:0;font-size:8.5pt}
.remark,.fault{font-size:7.5pt}
legend{font-size:9pt}
.control label,.check{white-space:nowrap;font-size:8.5pt;min-height:0}
.control>input[type=text],.control>select{grid-column:2;border:0;padding:0;min-height:0;text-align:right;text-align-last:right;width:100%;appearance:none;background:none;font-size:8.5pt}
.explore .verdict,.explore .note{min-height:0}
.chart svg{max-height:none}
.settings{break-inside:avoid}
.step{print-color-adjust:exact;-webkit-print-color-adjust:exact}
#legend svg{print-color-adjust:exact;-webkit-print-color-adjust:exact}
}
`;
