/** What the live page has beside the style of every page. */
export const EXPLORE_STYLE = `
[hidden]{display:none!important}
.explore{position:relative;display:grid;grid-template-columns:17rem minmax(0,1fr);grid-template-rows:auto auto 1fr;column-gap:2rem;align-items:start;padding-top:1rem}
.controls{grid-column:1;grid-row:1/span 3;padding-top:2.75rem}.curve,.settings,.numbers{grid-column:2}.curve.hero{padding-top:0}.settings,.numbers{margin-top:1.5rem}
.explore .bar{position:absolute;left:2.5rem;top:1rem}.explore .strip{display:none}
.explore .stale{display:none}.explore:has([aria-invalid=true]) .stale{display:block}
.explore .lead{min-height:3em}.explore .say{max-width:46rem}
#head,#hero,#map,.numbers,.control,.strip{contain:layout style}.answer{padding:1.1rem 0}.verdict{margin-top:.9rem}#head h1{font-size:2.5rem}
.explore .cu2{stroke-dasharray:7 4}#map{position:relative}#map>svg{position:absolute;inset:0;width:100%;height:100%;pointer-events:none;overflow:hidden}#map>div{cursor:crosshair;touch-action:pan-y}
.point{touch-action:none;cursor:grab;outline:none}.point:active{cursor:grabbing}.point.now{pointer-events:all}.reach{fill:transparent}
.ring{fill:var(--ink);stroke:var(--paper);stroke-width:2.5;paint-order:stroke}.b .ring{fill:var(--paper);stroke:var(--ink);stroke-width:3}.point:focus-visible .ring{stroke:var(--log);stroke-width:5}
fieldset{border:0;border-top:1px solid var(--rule);margin:0;padding:.6rem 0 .4rem;min-width:0}legend{font:700 1.0625rem/1.3 var(--d);padding:0 .5rem 0 0}
.control{display:grid;grid-template-columns:1fr auto 8.75rem;align-items:center;column-gap:.4rem;margin:.3rem 0 .45rem;font-size:.9375rem}
.control label{grid-column:1}.control>.back{grid-column:2}.control>input[type=text],.control>select{grid-column:3;width:100%}.control>input[type=range],.control>.remark,.control>.fault{grid-column:1/-1}
input[type=text],select,button{font:inherit;font-size:.9375rem;color:var(--ink);background:var(--sheet);border:1px solid var(--soft);border-radius:0;padding:.2rem .5rem;min-height:2rem}
.control>input[type=text]{text-align:right}input[aria-invalid]{border:2px solid var(--fails);padding:calc(.2rem - 1px) calc(.5rem - 1px)}
input[type=range]{width:100%;height:1.5rem;margin:0;accent-color:var(--holds)}input[type=radio],input[type=checkbox]{accent-color:var(--holds);width:1.1rem;height:1.1rem;margin:0}
button{cursor:pointer}button:hover{border-color:var(--ink);background:var(--air2)}button[aria-disabled=true]{opacity:.5;cursor:default}[aria-busy=true] .numbers td{color:var(--soft)}
button.back{border:0;background:none;padding:0 .35rem;min-height:1.75rem;min-width:1.75rem;font-size:1rem}
.remark{font-size:.8125rem;line-height:1.35;color:var(--soft)}.fault{font-size:.875rem;line-height:1.35;color:var(--fails);font-weight:700;overflow-wrap:anywhere}
.tools,.radios,.buttons{display:flex;flex-wrap:wrap;align-items:center;gap:.4rem .9rem}.tools{justify-content:space-between;margin-bottom:.75rem}.radios{font-size:.9375rem}
.radio,.check{display:inline-flex;align-items:center;gap:.4rem;min-height:2rem;white-space:nowrap}.schedule .buttons>*{flex:1 1 100%;min-width:0}
.numbers tr>:first-child{width:46%}.share #link{width:100%;max-width:44rem;display:block;margin:.25rem 0;color:var(--soft)}
[data-waiting] .wide{display:block}[data-waiting] .controls,[data-waiting] .settings,[data-waiting] .numbers,[data-waiting] .bar{visibility:hidden}
@media screen{.explore .hero .wide{--lab:14px;--lab2:16px}}
@media (max-width:70rem){.explore{display:block}.explore .bar{position:static;display:flex}.controls{padding-top:1rem;columns:2;column-gap:2rem}fieldset,.tools{break-inside:avoid}}
@media screen and (max-width:47.5rem){#head h1{font-size:2.125rem}.controls{columns:auto}
.explore .bar{justify-content:space-between;align-items:center;gap:.5rem;position:sticky;top:2.75rem;z-index:4;margin:0 -1rem .5rem;padding:.3rem 1rem;background:var(--paper);border-bottom:1px solid var(--rule)}.bar .buttons{flex-wrap:nowrap;gap:.4rem}
.explore .strip{display:flex;flex-wrap:wrap;gap:0 1rem;font-size:.875rem;line-height:1.35;font-weight:700}.control{grid-template-columns:1fr auto 10rem}
input[type=text],select,button{min-height:2.5rem;font-size:1rem}input[type=range]{height:2.25rem}.radio,.check{min-height:2.5rem}button.back{min-width:2.5rem}}
@media print{.explore{display:block}.tools,.explore .bar,.control>input[type=range],.buttons,.back,#share,.radios{display:none}.controls{columns:3;column-gap:2rem;padding-top:2mm}
.explore section{break-inside:avoid;margin-top:3mm}.settings svg{max-height:92mm}fieldset{break-inside:avoid;padding:.2rem 0}legend{font-size:9pt}.remark,.fault{font-size:7.5pt}.control{grid-template-columns:auto minmax(0,1fr);margin:0;font-size:8.5pt}
.control label,.check{white-space:nowrap;font-size:8.5pt;min-height:0}.control>input[type=text],.control>select{grid-column:2;border:0;padding:0;min-height:0;text-align:right;text-align-last:right;appearance:none;background:none;font-size:8.5pt}
.explore .lead{min-height:0}}
`;
