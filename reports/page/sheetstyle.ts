import { DRAWING_STYLE } from "./drawingstyle.ts";
import { TOKEN_STYLE } from "./tokens.ts";

/** The stylesheet of a page: ground, contents line, answer, sections, tables, folded details, title block; then phone and paper. */
export const SHEET_STYLE = `${TOKEN_STYLE}*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%;scroll-padding-top:3.5rem}
body{margin:0;background:var(--paper);color:var(--ink);font:1rem/1.5 var(--x);font-variant-numeric:tabular-nums lining-nums}
p,ul,ol,dl,dd,h1,h2,h3,figure,table{margin:0}a{color:inherit}
.in{max-width:75rem;margin:0 auto;padding:0 2.5rem}
:focus-visible{outline:3px solid var(--log);outline-offset:2px}main:focus{outline:0}
.skip{position:absolute;left:-99rem}.skip:focus{left:1rem;top:3rem;z-index:9;background:var(--sheet);padding:.5rem 1rem}
.unseen{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);white-space:nowrap}.defs{position:absolute;width:0;height:0}
.line{position:sticky;top:0;z-index:5;background:var(--bar);color:var(--barink)}.line .in{display:flex;gap:1.5rem;height:2.75rem}
.mark{display:flex;align-items:center;gap:.5rem;font:700 1.0625rem/1 var(--d);white-space:nowrap}.mark svg{width:26px;height:20px}
.line ul{display:flex;gap:1.4rem;list-style:none;padding:0;overflow-x:auto;scrollbar-width:none;flex:1;min-width:0}.line li{display:flex}
.line a{display:flex;align-items:center;font:400 1rem/1 var(--d);text-decoration:none;white-space:nowrap;border:solid transparent;border-width:4px 0}
.line a:hover,.line a[aria-current]{border-bottom-color:currentColor}
.line :focus-visible{outline-offset:-4px;outline-color:currentColor}
.answer{padding:1.5rem 0 1.6rem}.answer.holds{background:var(--holdswash)}.answer.doubt{background:var(--doubtwash)}.answer.fails{background:var(--failswash)}
.what{font:400 1.0625rem/1.4 var(--d);overflow-wrap:anywhere}
.verdict{display:grid;grid-template-columns:auto minmax(0,1fr) auto;column-gap:1.75rem;align-items:end;margin-top:1.4rem}.plate{width:112px;height:112px}
.word{font:700 1.5rem/1 var(--d);letter-spacing:.02em;margin-bottom:.45rem}.holds .word{color:var(--holds)}.doubt .word{color:var(--doubtink)}.fails .word{color:var(--fails)}
h1{font:700 3.375rem/1.02 var(--d);letter-spacing:-.01em;text-wrap:balance;margin-bottom:-.1em;overflow-wrap:anywhere}
.figs{display:flex;gap:2.5rem}.figs div{display:flex;flex-direction:column-reverse;max-width:15rem}
.figs dd{font:700 3.375rem/1 var(--d);white-space:nowrap;letter-spacing:-.01em}.figs small{font-size:1.375rem;font-weight:400;letter-spacing:0;margin-left:.2em}
.figs dt{font:400 1.0625rem/1.25 var(--d);margin-top:.35rem}.figs b{display:block}
.hero{padding-top:1.25rem}.hero .say{max-width:none}.lead{font-size:1.125rem;line-height:1.5;max-width:52rem;margin-top:.75rem;text-wrap:pretty}
section.in{padding-top:2.75rem}.row{display:grid;grid-template-columns:17.125rem minmax(0,1fr);column-gap:1.5rem;border-top:1px solid var(--rule);padding-top:1rem}
h2{font:700 1.625rem/1.12 var(--d);text-wrap:balance}h3{font:700 1.1875rem/1.2 var(--d)}
.say{font-size:.9375rem;line-height:1.47;color:var(--soft);margin-top:.6rem;max-width:34rem;text-wrap:pretty}.say b{color:var(--ink)}
.main>*+*,.fold>*+*{margin-top:1rem}.main>h3,.fold>h3{margin-top:1.75rem}.main>p,.fold>p,.main>ul,.fold>ul{max-width:46rem}.main ul,.fold ul,.main ol{padding-left:1.1rem}
.c-holds,.yes{color:var(--holds)}.c-doubt{color:var(--doubtink)}.c-fails,.no{color:var(--fails)}.c-log{color:var(--log)}
.st{display:inline-flex;align-items:baseline;gap:.4em;font:700 1.0625rem/1.1 var(--d);white-space:nowrap}.st svg{width:22px;height:22px;flex:none;align-self:center}
.multi{display:grid;grid-template-columns:repeat(4,minmax(0,1fr));gap:1.5rem}.multi.three{grid-template-columns:repeat(3,minmax(0,1fr))}
.multi figcaption{margin-top:.6rem;font-size:.9375rem;line-height:1.35}.multi h3{margin:.35rem 0 .1rem;overflow-wrap:anywhere}.multi .st{display:flex}
.todo{display:grid;grid-template-columns:repeat(2,minmax(0,1fr));gap:1rem 1.5rem;padding:0!important;list-style:none;counter-reset:s}
.todo li{counter-increment:s;display:grid;grid-template-columns:2.25rem minmax(0,1fr);font-size:.9375rem}.todo li::before{content:counter(s);font:700 2.125rem/1 var(--d)}
table{border-collapse:collapse;width:100%;font-size:.9375rem}caption{text-align:left;color:var(--soft);padding-bottom:.5rem}
th,td{text-align:right;padding:.5rem;border-top:1px solid var(--rule);vertical-align:baseline;font-weight:400;white-space:nowrap}
th:first-child,td:first-child{text-align:left;padding-left:0;white-space:normal}tbody th{font-weight:700}
thead th{border-top:0;color:var(--soft);font:400 1rem/1.15 var(--d);vertical-align:bottom;white-space:normal}td.l,th.l{text-align:left;white-space:normal}.cards{table-layout:auto}
.badge{display:block;color:var(--holds);font-weight:700}.best{background:var(--holdswash)}.wd,.words{display:block;font-weight:400;font-size:.875rem;color:var(--soft);white-space:normal}.unit{color:var(--soft)}
.scroll{overflow-x:auto;overscroll-behavior-x:contain}.scroll table{font-size:.875rem}
code,.path{font:.8125rem/1.5 var(--m);overflow-wrap:anywhere}.path{display:block;color:var(--soft);font-weight:400}
pre{margin:0;font:.875rem/1.55 var(--m);white-space:pre-wrap;overflow-wrap:anywhere}.main>pre{border-left:4px solid var(--rule);padding-left:.8rem}
details{border-top:1px solid var(--rule)}details:last-of-type{border-bottom:1px solid var(--rule)}.main>details{margin-top:0}.main>*+details:not(details+details){margin-top:1rem}
summary{cursor:pointer;padding:.55rem 0;font:700 1.0625rem/1.3 var(--d);list-style:none}summary::-webkit-details-marker{display:none}
summary::before{content:"";display:inline-block;margin:0 .6rem .1rem 0;width:.55rem;height:.55rem;border:solid currentColor;border-width:0 2.5px 2.5px 0;transform:rotate(-45deg)}[open]>summary::before{transform:rotate(45deg)}
summary span{font-weight:400;color:var(--soft);overflow-wrap:anywhere}.fold{padding:0 0 1.25rem 1.15rem}
.inputs{display:grid;grid-template-columns:minmax(0,1.1fr) max-content minmax(0,1.3fr);column-gap:1.5rem}
.inputs>div{display:grid;grid-template-columns:subgrid;grid-column:1/-1;padding:.4rem 0;border-top:1px solid var(--rule);align-items:baseline}.inputs>div:first-child{border-top:0}
.inputs dd{text-align:right;font-weight:700;max-width:15rem}.inputs dd+dd{text-align:left;font-weight:400;color:var(--soft);font-size:.9375rem;max-width:none}
.care{display:grid;grid-template-columns:repeat(3,1fr);gap:1.5rem;list-style:none;padding:0!important;max-width:none!important}.care li{font-size:.9375rem}.care b{display:block;font:700 1.0625rem/1.3 var(--d)}
.block-t{display:grid;grid-template-columns:2fr 2fr 1fr 1fr;border:1px solid var(--ink);margin:3.5rem 0 2.5rem;font:400 1rem/1.3 var(--d)}
.block-t div{padding:.6rem .8rem;border-left:1px solid var(--ink);min-width:0;overflow-wrap:anywhere}.block-t div:first-child{border-left:0}.block-t dt{color:var(--soft);font-size:.875rem}
${DRAWING_STYLE}@media (prefers-reduced-motion:no-preference){html{scroll-behavior:smooth}}
@media (forced-colors:active){.answer,.dial div{border:1px solid CanvasText}}
@media (max-width:70rem){.row{display:block}.row>.main{margin-top:1.25rem}.say{max-width:46rem}.in{padding:0 1.75rem}
.verdict{grid-template-columns:auto minmax(0,1fr)}.figs{grid-column:1/-1;margin-top:1.5rem}.multi{grid-template-columns:repeat(2,minmax(0,1fr))}}
@media screen and (max-width:47.5rem){.in{padding:0 1rem}section.in{padding-top:2rem}#details summary span{display:none}.care li{font-size:.875rem}
.line .in{gap:1rem;padding-right:0}.line ul{padding-right:2.5rem;-webkit-mask:linear-gradient(to left,transparent,#000 2.5rem);mask:linear-gradient(to left,transparent,#000 2.5rem)}.mark span{display:none}
.answer{padding:.9rem 0 1rem}.what{font-size:1rem;line-height:1.25}.verdict{column-gap:.9rem;margin-top:1rem;align-items:center}.plate{width:76px;height:76px}
.word{font-size:1.125rem;margin-bottom:.25rem}h1{font-size:2.125rem;line-height:1.03}.figs{gap:1.25rem;margin-top:1rem;flex-wrap:wrap}.figs div{max-width:none;flex:1 1 40%;min-width:min-content;justify-content:flex-end}
.figs dd{font-size:2.125rem}.figs small{font-size:1.125rem}.figs dt{font-size:1rem;line-height:1.2;margin-top:.2rem}.hero{padding-top:.75rem}.lead{font-size:1rem}
.care,.todo{grid-template-columns:1fr;gap:1rem}.block-t{grid-template-columns:1fr 1fr}.block-t div:nth-child(odd){border-left:0}.block-t div:nth-child(n+3){border-top:1px solid var(--ink)}
.inputs{grid-template-columns:minmax(0,1fr) max-content}.inputs dd+dd{grid-column:1/-1}.fold{padding-left:0}.multi{gap:1.25rem 1rem}
.multi.three{grid-template-columns:1fr}.three figure{display:grid;grid-template-columns:11rem minmax(0,1fr);column-gap:1rem;align-content:start}.three .tile{grid-row:1/5}.three figcaption{margin-top:.2rem}
.stack,.stack tbody,.stack caption{display:block}.stack thead{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
.stack tr{display:grid;grid-template-columns:1fr 1fr;column-gap:1.25rem;padding:.6rem 0;border-top:1px solid var(--rule)}
.stack th,.stack td{border:0;padding:.12rem 0;text-align:left;min-width:0}.stack tbody th{grid-column:1/-1;padding-bottom:.3rem}
.stack td{display:flex;justify-content:space-between;flex-wrap:wrap;column-gap:.75rem;align-items:baseline;white-space:normal}.stack td:empty{display:none}.stack td.l{grid-column:1/-1}
.stack td::before{content:attr(data-l);color:var(--soft);font:400 .9375rem/1.3 var(--d)}}
@media print{@page{size:A4;margin:13mm 14mm}html{font-size:9.2pt}body{background:#fff;-webkit-print-color-adjust:exact;print-color-adjust:exact}
.in{padding:0;max-width:none}.line,.skip,.read,.noprint{display:none!important}.answer{padding:4mm 5mm 5mm}.plate{width:24mm;height:24mm}
.verdict{grid-template-columns:auto minmax(0,1fr) auto}.figs{grid-column:auto;margin:0;gap:7mm}h1,.figs dd{font-size:24pt}.figs small{font-size:12pt}.figs dt{font-size:9pt}.word{font-size:13pt}
section.in{padding-top:6mm}.row{display:block;padding-top:2.5mm;break-inside:avoid}.row.long{break-inside:auto}.row>.main{margin-top:3mm}
h2{font-size:14pt}h2,h3,.side,summary{break-after:avoid}.say{font-size:8.6pt;max-width:none;margin-top:1mm}.lead{font-size:10pt;max-width:none;margin-top:2mm}
figure,.multi>*,tr,.care li,.todo li,.keep,.inputs>div{break-inside:avoid}.multi{grid-template-columns:repeat(4,minmax(0,1fr));gap:4mm}.multi figcaption{font-size:8pt}
table,.scroll table{font-size:8.2pt}th,td{padding:1mm 1.2mm}thead th{font-size:8.2pt}.wd,.words{font-size:7.4pt}.scroll{overflow:visible}.chart svg{max-height:58mm}.fold .chart svg{max-height:46mm}.chart figcaption{font-size:7.6pt;margin-top:1mm}.todo,.care{font-size:8.4pt}
.main>*+*,.fold>*+*{margin-top:2mm}.main>p,.fold>p{font-size:8.6pt;max-width:none}.fold>ul{max-width:none;columns:2;column-gap:8mm;font-size:7.2pt;line-height:1.3}.fold table{font-size:7.4pt}.fold th,.fold td{padding:.4mm 1mm}.fold li{margin:0 0 .6mm}
details::details-content{content-visibility:visible;height:auto;display:block}summary{padding:1.5mm 0 .8mm}summary::before{display:none}.fold{padding:0 0 1.5mm}
.inputs{font-size:7.4pt;display:block;columns:2;column-gap:8mm}.inputs>div{display:block;padding:.3mm 0}.inputs dt,.inputs dd{display:inline;text-align:left}.inputs dd::before{content:" "}.inputs dd+dd{font-size:7.1pt}pre,code,.path{font-size:7.1pt;line-height:1.35}.inputs .path,.inputs .wd{display:inline;padding-left:.5em;font-size:7.1pt}
.block-t{margin:5mm 0 0;font-size:8pt;break-inside:avoid}.block-t dt{font-size:7.1pt}.fold pre{columns:2;column-gap:8mm}}
`;
