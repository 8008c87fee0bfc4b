/** Colours by their job, named as the custom properties of a page. */
export type Tokens = Readonly<Record<string, string>>;

/**
 * Blue holds, amber is doubt, red is above the limit, violet is measured or read off, steel is fan and air, ink is the model.
 * Words stand at least 4.5:1 from the lightest and the darkest ground that they are set on, marks 3:1 (tested).
 */
export const LIGHT_TOKENS: Tokens = {
	paper: "#f5f8f8",
	sheet: "#ffffff",
	ink: "#10242c",
	soft: "#47595f",
	rule: "#c6d1d4",
	air: "#bcd6dd",
	air2: "#deebee",
	fan: "#2f6075",
	holds: "#006a80",
	holdswash: "#d3ebf0",
	doubt: "#f0b02e",
	doubtink: "#754a00",
	doubtwash: "#fbe9c4",
	fails: "#ad260c",
	failswash: "#f9d9cf",
	log: "#6a3aa6",
	bar: "#10242c",
	barink: "#f5f8f8",
	onholds: "#ffffff",
	ondoubt: "#10242c",
	onfails: "#ffffff",
	"m-h3": "#86bfce",
	"m-h2": "#aed5df",
	"m-h1": "#d6eaef",
	"m-f1": "#fbe4dc",
	"m-f2": "#f4c3b3",
	"m-f3": "#e79680",
	"m-f4": "#d06a50",
};

export const DARK_TOKENS: Tokens = {
	paper: "#0c171b",
	sheet: "#122026",
	ink: "#e6eff0",
	soft: "#a3b6bb",
	rule: "#30434a",
	air: "#2a4a56",
	air2: "#1a2f37",
	fan: "#8dbccd",
	holds: "#4cc0dd",
	holdswash: "#0c3441",
	doubt: "#f7cf6b",
	doubtink: "#f2c566",
	doubtwash: "#3a2d0f",
	fails: "#ff7d5e",
	failswash: "#4a1b10",
	log: "#bb9dff",
	bar: "#1b2d34",
	barink: "#e6eff0",
	onholds: "#0c171b",
	ondoubt: "#0c171b",
	onfails: "#0c171b",
	"m-h3": "#1b6a84",
	"m-h2": "#164c5e",
	"m-h1": "#10313d",
	"m-f1": "#3c1d15",
	"m-f2": "#632a1c",
	"m-f3": "#8f3a26",
	"m-f4": "#a8442e",
};

/** Type: the narrow one of figures, headings and drawings, the one of text, and the one of files and the timer's digits. */
const TYPE: Tokens = {
	d: `Bahnschrift,"DIN Alternate","Roboto Condensed","Avenir Next Condensed","Nimbus Sans Narrow","Liberation Sans Narrow","Arial Narrow",sans-serif-condensed,sans-serif`,
	x: `-apple-system,"Segoe UI",Roboto,"Noto Sans","Liberation Sans",Arial,sans-serif`,
	m: `ui-monospace,"SF Mono",Consolas,"Liberation Mono",monospace`,
	lab: "13.5px",
	lab2: "16px",
	lab3: "21px",
};

const declare = (tokens: Tokens): string =>
	Object.entries(tokens)
		.map(([name, value]) => `--${name}:${value}`)
		.join(";");

/** The tokens of a page: light, dark, and on paper the light set on white with larger words in drawings. */
export const TOKEN_STYLE = `:root{color-scheme:light dark;${declare({ ...LIGHT_TOKENS, ...TYPE })}}
@media (prefers-color-scheme:dark){:root{${declare(DARK_TOKENS)}}}
@media print{:root{color-scheme:light;${declare({ ...LIGHT_TOKENS, paper: "#ffffff", lab: "13px", lab2: "15px", lab3: "20px" })}}}
`;
