/** How the command was started, for hints that can be typed as they stand: `lullgust`, or `npx lullgust` from a package runner. */
export const calledAs = (): string =>
	process.env.npm_config_user_agent === undefined && process.env.npm_execpath === undefined
		? "lullgust"
		: "npx lullgust";
