import { type ChartTheme, DARK, LIGHT } from "../charts/theme.ts";
import { TOKEN_STYLE } from "./tokens.ts";

const chartColours = ({ series, ramp }: ChartTheme): string =>
	[
		...series.map((color, place) => `--series-${place}:${color};`),
		...ramp.map((color, place) => `--ramp-${place}:${color};`),
	].join("");

/** The stylesheet of every report: one accent, light and dark, phone and paper. */
export const STYLE = `
${TOKEN_STYLE}:root{${chartColours(LIGHT)}--panel:var(--sheet);--line:var(--rule);--accent:var(--holds);--wash:var(--holdswash);--grid:var(--rule);--limit:var(--ink);--halo:var(--sheet)}
@media (prefers-color-scheme:dark){:root{${chartColours(DARK)}}}
*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%;scroll-padding-top:1rem}
body{margin:0;background:var(--paper);color:var(--ink);font:16px/1.6 system-ui,-apple-system,"Segoe UI",Roboto,"DejaVu Sans",sans-serif;font-variant-numeric:tabular-nums}
.note{break-after:avoid}
.key{break-before:avoid}
.skip,.unseen{position:absolute;left:-9999px}
.skip:focus{left:1rem;top:1rem;background:var(--panel);padding:.5rem 1rem;z-index:3}
header,main,footer{max-width:60rem;margin:0 auto;padding:0 1.25rem}
header{padding-top:3rem}
footer{padding-top:2rem;padding-bottom:3rem;color:var(--soft);font-size:.875rem}
h1,h2,.verdict{font-family:"Iowan Old Style","Palatino Linotype",Palatino,"Book Antiqua",Georgia,"DejaVu Serif",serif;font-weight:600;text-wrap:balance}
h1{font-size:2rem;line-height:1.2;margin:.1em 0 .3em;overflow-wrap:anywhere}
h2{font-size:1.4rem;line-height:1.3;margin:3.25rem 0 .75rem}
h3{font-size:1rem;margin:1.75rem 0 .5rem}
p,ul{max-width:68ch;margin:.6rem 0}
ul{padding-left:1.2rem}
li{margin:.3rem 0}
a{color:var(--accent)}
.kind{margin:0;color:var(--accent);font-weight:600}
.lead,figcaption,.note,.key{color:var(--soft)}
.verdict{font-size:1.3rem;line-height:1.45;max-width:44rem;margin:1.5rem 0 1rem;padding-left:1.1rem;border-left:4px solid var(--accent);font-weight:400;overflow-wrap:anywhere}
.verdict strong{font-weight:700}
:focus-visible{outline:3px solid var(--accent);outline-offset:2px}
figure{margin:1.25rem 0;position:relative}
figcaption{font-size:.875rem;max-width:68ch;margin:.5rem .5rem .25rem}
.scroll+.scroll{margin-top:2rem}
.scroll{overflow-x:auto;overscroll-behavior-x:contain}
.sideways{display:none}
.yes{color:var(--accent);font-weight:600}
.no{font-weight:600}
.chart{background:var(--panel);border:1px solid var(--line);border-radius:6px;padding:.75rem .5rem .5rem}
.chart svg{display:block}
.chart .mark-rect path{shape-rendering:crispEdges}
.narrow{display:none}
.wide svg{max-width:100%;height:auto}
table{border-collapse:collapse;font-size:.9375rem;min-width:100%}
th,td{padding:.4rem .75rem;text-align:left;vertical-align:top;border-bottom:1px solid var(--line)}
th{font-weight:600}
th:first-child,td:first-child{padding-left:0}
tbody th{font-weight:400}
.number{text-align:right}
td.number{white-space:nowrap}
.inputs td:last-child{min-width:7rem}
.inputs th:first-child{width:30%}
.inputs td:nth-child(2){width:20%}
.figures thead th{vertical-align:bottom;text-align:right;min-width:6.5rem;max-width:11rem;overflow-wrap:anywhere}
.figures thead th:first-child{text-align:left}
.figures tbody th{position:sticky;left:0;background:var(--paper);min-width:8.5rem}
.figures .group th{padding-top:1.4rem;font-weight:600;color:var(--soft);position:static}
.figures .best{background:var(--wash)}
.figures thead .best{box-shadow:inset 0 3px var(--accent)}
.judged td:nth-child(2),.judged thead th{white-space:nowrap}
.judged th+th,.judged th+td{width:1%}
.badge{display:block;color:var(--accent);font-size:.86em;font-weight:600}
.words{display:block;font-weight:400;font-size:.86em;color:var(--soft)}
.unit{font-size:.86em;color:var(--soft)}
.path{display:block;font:.86em ui-monospace,SFMono-Regular,Menlo,"DejaVu Sans Mono",monospace;color:var(--soft);overflow-wrap:break-word}
.inputs td,.inputs th,.judged td,.judged th{overflow-wrap:break-word}
pre{font:.8125rem/1.55 ui-monospace,SFMono-Regular,Menlo,"DejaVu Sans Mono",monospace;background:var(--panel);border:1px solid var(--line);border-radius:6px;padding:1rem;margin:0;white-space:pre-wrap;overflow-wrap:anywhere}
.readout{position:absolute;z-index:2;top:2.5rem;max-width:calc(100% - 1rem);pointer-events:none;background:var(--panel);border:1px solid var(--soft);border-radius:6px;padding:.4rem .6rem;font-size:.8125rem;line-height:1.35}
.readout[hidden]{display:none}
.readout.below{position:static;max-width:none;border:0;border-top:1px solid var(--line);border-radius:0;margin-top:.5rem}
.readout table{font-size:inherit}
.readout caption{text-align:left;font-weight:600;padding-bottom:.2rem}
.readout th,.readout td{border:0;padding:.1rem .5rem .1rem 0;font-weight:400;vertical-align:baseline}
.readout th{max-width:13rem;overflow:hidden;text-overflow:ellipsis;white-space:nowrap}
.readout td{white-space:nowrap}
.readout svg{display:inline-block;vertical-align:middle;margin-right:.4rem}
.moment{display:flex;gap:.75rem;align-items:center;font-size:.875rem;padding:.25rem .25rem 0}
.moment input{flex:1;min-width:0;height:1.75rem;accent-color:var(--accent)}
@media screen and (max-width:40rem){
.wide{display:none}
.narrow{display:block}
.sideways{display:block;margin:.75rem 0 .25rem;color:var(--accent);font-size:.875rem;font-weight:600}
.judged,.judged thead,.judged tbody{display:block}
.judged tr{display:flex;flex-wrap:wrap;border-bottom:1px solid var(--line);padding:.4rem 0}
.judged tr>*{flex:1 1 0;border:0;padding:0 .4rem 0 0}
.judged tr>:first-child{flex:1 0 100%;padding-bottom:.1rem}
.judged tr>:last-child{padding-right:0}
.inputs,.inputs tbody{display:block}
.inputs thead{position:absolute;left:-9999px}
.inputs tr{display:grid;grid-template-columns:minmax(0,1fr) minmax(0,45%);gap:.1rem 1rem;padding:.5rem 0;border-bottom:1px solid var(--line)}
.inputs tbody th:first-child,.inputs tbody td{border:0;padding:0;width:auto;min-width:0}
.inputs td:nth-child(2){text-align:right}
.inputs td:last-child{grid-column:1/-1;color:var(--soft);font-size:.86em}
.sideways+.scroll{border-right:1px solid var(--line);background:linear-gradient(to left,var(--paper) 40%,transparent) right/3rem 100% no-repeat local,linear-gradient(to left,var(--line),transparent) right/1.5rem 100% no-repeat scroll}
}
@media (max-width:40rem){
body{font-size:15px}
header{padding-top:1.75rem}
h1{font-size:1.6rem}
.verdict{font-size:1.1rem}
h2{margin-top:2.5rem}
th,td{padding:.35rem .4rem}
.judged thead th{white-space:normal;overflow-wrap:normal}
.number .words{white-space:normal}
.figures td{white-space:nowrap}
.figures thead th{vertical-align:bottom}
.figures thead .words{display:none}
.figures tbody th{min-width:7rem;max-width:8rem}
.chart{margin-left:-.75rem;margin-right:-.75rem;padding:.6rem .25rem .4rem}
.readout{position:static;max-width:none;border:0;border-top:1px solid var(--line);border-radius:0;margin-top:.5rem}
.readout table{width:100%}
.readout th{max-width:10rem}
}
@media print{
:root{${chartColours(LIGHT)}}
@page{margin:12mm 14mm}
body{font-size:9.5pt;line-height:1.4;background:#fff}
header{padding-top:0}
header,main,footer{max-width:none;padding-left:0;padding-right:0}
footer{padding-top:.75rem;padding-bottom:0;break-before:avoid}
h1{font-size:17pt}
h2{font-size:13.5pt;margin:1.1rem 0 .4rem;break-after:avoid}
h3{font-size:10pt;margin:.7rem 0 .3rem;break-after:avoid}
p,ul,ol{margin:.35rem 0}
li{margin:.15rem 0}
section>p,section>pre{max-width:none}
section>ul{max-width:none;columns:2;column-gap:8mm;font-size:8.5pt}
figure,p,tr,li,.small,.figures tbody{break-inside:avoid}
figure{margin:.5rem 0}
thead{display:table-header-group}
.group{break-after:avoid}
.figures .group th{padding-top:.5rem}
.scroll+.scroll{margin-top:1rem}
.chart{border:0;padding:0;margin-left:0;margin-right:0}
.chart svg{max-width:100%;height:auto;max-height:68mm}
figcaption,.key{font-size:8.5pt;max-width:none;margin:.3rem 0}
.verdict{font-size:12pt;margin:.5rem 0}
.judged .words{display:inline;padding-left:.5em}
.scroll{overflow:visible}
.moment,.readout,.skip{display:none}
table{font-size:8.5pt}
th,td{padding:.2rem .4rem}
.figures thead th{min-width:0}
.figures thead .words{display:none}
.figures tbody th{position:static;min-width:7rem}
.inputs{font-size:8pt}
.inputs th:first-child{width:42%}
.inputs .path,.inputs .words{display:inline;padding-left:.6em}
pre{font-size:7.5pt;line-height:1.4;border:0;padding:0}
}
`;
