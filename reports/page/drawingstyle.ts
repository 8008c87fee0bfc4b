/** How the marks of every drawing look, by their class. */
export const DRAWING_STYLE = `
svg{display:block;overflow:visible}
.wide,.tile{width:100%;height:auto}.narrow{display:none;width:100%;height:auto;max-width:30rem}
:where(svg:not(.chart svg)) text{font-family:var(--d);font-size:var(--lab);fill:var(--soft)}.chart text{font-family:var(--d)}.chart svg{max-width:100%;height:auto}.chart figcaption{font-size:.9375rem;color:var(--soft);margin-top:.5rem;max-width:46rem}
:root{--panel:var(--sheet);--line:var(--rule);--accent:var(--holds);--wash:var(--holdswash);--grid:var(--rule);--limit:var(--ink);--halo:var(--paper);--series-0:var(--ink);--series-1:var(--log);--series-2:var(--holds);--series-3:var(--doubtink);--series-4:var(--fails);--series-5:var(--fan);--series-6:var(--soft);--series-7:var(--fails)}
svg .b,svg .b2,svg .b3{font-weight:700;fill:var(--ink)}svg .i{fill:var(--ink)}svg .b2{font-size:var(--lab2)}svg .b3,svg .big{font-size:var(--lab3)}
svg .th,svg .tf,svg .tl{font-weight:700}svg .th{fill:var(--holds)}svg .td{fill:var(--doubtink)}svg .tf{fill:var(--fails)}svg .tl{fill:var(--log)}
svg .hal,svg .hal2,svg .hal3{paint-order:stroke;stroke:var(--paper);stroke-width:4px;stroke-linejoin:round}svg .hal2{stroke-opacity:.85}svg .hal3{stroke:var(--failswash)}
.rule,.cell,.tick,.base,.floor,.level,.shelf,.wire,.thin,.thin2,.cu,.cu2,.cu3,.dash,.ghost,.dim,.dimh,.dimf,.ext,.lead-l,.brk,.lens,.halo,.whisk,.cut,.lintel-l,.wallline,.cursor,.doubtedge{fill:none;stroke:var(--ink);stroke-linejoin:round}
.rule,.cell{stroke:var(--rule)}.tick,.thin2,.ext,.lead-l{stroke:var(--soft)}
.cu{stroke-width:2}.cu2{stroke:var(--soft);stroke-width:1.6}.cu3{stroke-width:3}.thin,.brk,.wire{stroke-width:1.3}.level,.floor{stroke-width:1.5}.shelf{stroke-width:2}
.dash,.ghost{stroke:var(--soft);stroke-width:1.4;stroke-dasharray:5 3}.ext{stroke-dasharray:2 2}.wallline{stroke-width:2;stroke-dasharray:2 5}.lintel-l{stroke-width:7}
.halo{stroke:var(--paper);stroke-width:6}.cut{stroke:var(--paper);stroke-width:3}.dim,.dimh,.dimf{stroke-width:1.6}.dimh{stroke:var(--holds)}.dimf{stroke:var(--fails)}
.lintel,.wall{fill:var(--ink)}.ground{fill:url(#h-ground)}.none{display:none}
.over{fill:var(--failswash)}.overhatch{fill:url(#h-fails)}.overhatch.mh{opacity:.28}.broken{fill:var(--fails)}
.doubtband{fill:var(--doubt);opacity:.42}.doubtedge{stroke:var(--doubtink)}.bar-d{fill:var(--doubt);stroke:var(--doubtink);stroke-width:1.2}
.fan,.air2{fill:var(--fan)}.track,.fill2,.under{fill:var(--air2)}.fill1,.envband{fill:var(--air)}.fillhatch{fill:url(#h-air)}.sound{fill:var(--holdswash)}.back,.blank{fill:var(--paper)}
.air{fill:var(--air);stroke:var(--fan);stroke-width:1.2;stroke-linejoin:round}
.block,.crop{fill:var(--sheet);stroke:var(--ink);stroke-width:1.3;stroke-linejoin:round}
.rotor circle{fill:var(--paper);stroke:var(--ink);stroke-width:2}.rotor path{fill:var(--fan)}.sensor{fill:var(--log);stroke:var(--paper);stroke-width:2}
.part{fill:none;stroke:var(--ink);stroke-width:2.2;stroke-linejoin:round}.cable{fill:none;stroke:var(--ink);stroke-width:3}
.lens,.whisk{stroke:var(--log);stroke-width:2}.wedge{fill:var(--log);opacity:.1}.cursor{stroke:var(--log);stroke-width:2;visibility:hidden}
.dots{fill:none;stroke:var(--log);stroke-width:2.6;stroke-linecap:round;opacity:.5}.found{fill:var(--log)}.hollow{fill:var(--paper);stroke:var(--ink);stroke-width:2.5}
.dot,.mark-d{fill:var(--sheet);stroke:var(--ink);stroke-width:3}
.pos{fill:var(--doubt);stroke:var(--doubtink)}.neg{fill:url(#h-doubt);stroke:var(--doubtink)}
.hx{stroke-width:1.4;fill:none}.hx.f{stroke:var(--fails)}.hx.a{stroke:var(--fan);stroke-width:.9;opacity:.8}.hx.g{stroke:var(--ink);stroke-width:1}.hx.d{stroke:var(--doubtink);stroke-width:1}
.m-h3{fill:var(--m-h3)}.m-h2{fill:var(--m-h2)}.m-h1{fill:var(--m-h1)}.m-f1{fill:var(--m-f1)}.m-f2{fill:var(--m-f2)}.m-f3{fill:var(--m-f3)}.m-f4{fill:var(--m-f4)}
.sq-h{fill:var(--holds)}.sq-f{fill:none;stroke:var(--fails);stroke-width:1.3}
.ringfloor{fill:var(--paper);stroke:var(--ink);stroke-width:1.5}.ringlintel,.ringbroken{fill:none;stroke:var(--ink);stroke-width:7}.ringbroken{stroke:var(--fails)}
.p-holds,.g-holds{fill:var(--holds)}.p-doubt,.g-doubt{fill:var(--doubt)}.p-fails,.g-fails{fill:var(--fails)}.o-holds{fill:var(--onholds)}.o-doubt{fill:var(--ondoubt)}.o-fails{fill:var(--onfails)}
.s-doubt,.s-doubtx{fill:none;stroke:var(--ondoubt);stroke-width:4.5;stroke-dasharray:8 5;stroke-linejoin:round}.s-doubtx{stroke:var(--doubtink)}
.g-doubt{stroke:var(--doubtink);stroke-width:1.5;stroke-linejoin:round}.g-doubt2{fill:none;stroke:var(--doubtink);stroke-width:1.8;stroke-linejoin:round;stroke-dasharray:3 1.6}.g-ink{fill:var(--doubtink)}
.flow{stroke:var(--fan)}.short{stroke:var(--fails)}.fill-flow{fill:var(--fan)}.fill-short{fill:var(--fails)}
@media screen and (max-width:60rem){.hero .wide{--lab:16px;--lab2:18px;--lab3:23px}}
@media screen and (max-width:47.5rem){.wide{display:none}.narrow{display:block}}
@media print{.hero .wide{--lab:15.4px;--lab2:17.4px;--lab3:22px}.tile{--lab:15px}.wide{display:block!important}.narrow{display:none!important}}
@media (forced-colors:active){.lintel,.wall,.g-holds,.g-fails,.p-holds,.p-fails,svg text{fill:CanvasText}.cu,.cu2,.cu3,.thin,.lintel-l,.dim,.dimh,.dimf,.floor{stroke:CanvasText}}
`;
