import { sectionDefs } from "../charts/section/states.ts";
import { DRAWING_STYLE } from "./drawingstyle.ts";
import { type Html, html, trusted } from "./html.ts";
import { LIGHT_TOKENS } from "./tokens.ts";

const STYLE = `svg{color-scheme:light;${Object.entries(LIGHT_TOKENS)
	.map(([name, value]) => `--${name}:${value}`)
	.join(
		";",
	)};--d:"Nimbus Sans Narrow","Liberation Sans Narrow","Arial Narrow",sans-serif;--lab:13.5px;--lab2:16px;--lab3:21px;background:#fff}${DRAWING_STYLE.replace(/@media[\s\S]*/, "")}`;

/** A drawing of a page as an SVG file of its own, in light colours, for a paper or a slide. */
export function standaloneSvg({ html: svg }: Html): string {
	const [, width, height] = / viewBox="0 0 ([\d.]+) ([\d.]+)"/.exec(svg)!;
	return html`<svg xmlns="http://www.w3.org/2000/svg" width="${width!}" height="${height!}" ${trusted(svg.slice(5, svg.indexOf(">") + 1))}<style>${trusted(STYLE)}</style>${sectionDefs()}${trusted(svg.slice(svg.indexOf(">") + 1))}\n`
		.html;
}
