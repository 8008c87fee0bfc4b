import { checkOutputs, type Output, writeOutput } from "./files.ts";
import { jsonText } from "./json.ts";
import { complain, print, terminal, wrap } from "./print/print.ts";

type Made<T> = T | Promise<T>;

/** What a command has to say; only what was asked for is made. */
interface Reply<Name extends string> {
	/** Content of each file; null where there is nothing to write. */
	readonly files: Readonly<Record<Name, () => Made<Output["content"] | null>>>;
	/** A file that was asked for by name and takes the place of what it held; null where there is nothing to write. */
	readonly update?: () => Made<Output | null>;
	readonly json: () => object;
	/** The answer in a paragraph, before all else. */
	readonly verdict?: string;
	/** All that follows the verdict. */
	readonly text: (screen: ReturnType<typeof terminal>) => Made<string>;
	/** On standard error where standard output is taken. */
	readonly notes?: readonly string[];
	readonly warnings?: readonly string[];
	/** `--quiet` still tells them, on standard error. */
	readonly isWarningWhenQuiet?: boolean;
	/** Stands where no file was written. */
	readonly hint?: string;
}

/** Checks the files asked for before any work is done; the answer then makes everything before it writes anything. */
export function delivery<Name extends string>(
	asked: Readonly<Record<Name, string | undefined>>,
	{
		json,
		force,
		quiet = false,
	}: { readonly json: boolean; readonly force: boolean; readonly quiet?: boolean },
	inputs: readonly (string | undefined)[],
): (answer: Reply<Name>) => Promise<void> {
	const paths = Object.entries<string | undefined>(asked).flatMap(([name, path]) =>
		path === undefined ? [] : [[name as Name, path] as const],
	);
	const taken = [...paths.map(([, path]) => path), ...(json ? ["-"] : [])];
	checkOutputs(
		taken,
		force,
		inputs.filter((path) => path !== undefined),
	);
	return async ({ files, notes = [], warnings = [], ...answer }) => {
		const remarks = [...notes.map((note) => `note: ${note}`), ...warnings.map((text) => `warning: ${text}`)];
		const outputs: Output[] = [];
		for (const [name, path] of paths) {
			const content = await files[name]();
			if (content !== null) outputs.push({ path, content });
		}
		const updated = (await answer.update?.()) ?? null;
		const written = [...outputs, ...(updated === null ? [] : [updated])].map(({ path }) => path);
		if (json) outputs.push({ path: "-", content: jsonText(answer.json()) });
		for (const output of outputs) await writeOutput(output, force);
		if (updated !== null) await writeOutput(updated, true);

		if (taken.includes("-")) return json ? undefined : complain(remarks);
		const screen = terminal();
		if (answer.verdict !== undefined) await print(wrap(answer.verdict, screen.columns));
		if (quiet) return answer.isWarningWhenQuiet ? complain(remarks) : undefined;
		await print(await answer.text(screen));
		if (remarks.length > 0) await print("\n");
		for (const remark of remarks) await print(wrap(remark, screen.columns, "  "));
		if (written.length > 0) await print(`\nWrote ${written.join(", ")}.\n`);
		else if (answer.hint !== undefined) await print(`\n${wrap(answer.hint, screen.columns)}`);
	};
}
