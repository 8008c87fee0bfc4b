/** One thing wrong with an input, said so that its author can mend it. */
export interface Fault {
	/** Name of the file or argument it stands in, if there is one. */
	readonly file?: string;
	/** Position in that file, counted from 1. */
	readonly line?: number;
	readonly column?: number;
	/** Where in the structure: `chamber.volume`. */
	readonly path?: string;
	/** The rule, what was received, and the way out. */
	readonly message: string;
}

const describe = (fault: Fault): string => {
	const place = [fault.file, fault.line, fault.column].filter((part) => part !== undefined).join(":");
	const head = [place, fault.path].filter((part) => part !== undefined && part !== "").join(" ");
	return head === "" ? fault.message : `${head}: ${fault.message}`;
};

/** Wrong input: carries every fault that was found, not only the first. */
export class InputError extends Error {
	readonly faults: readonly Fault[];

	constructor(faults: readonly Fault[] | string) {
		const list = typeof faults === "string" ? [{ message: faults }] : faults;
		super(list.map(describe).join("\n"));
		this.name = "InputError";
		this.faults = list;
	}
}

/** Runs a step that reads an input and adds what it finds wrong to a list; any other error passes. */
export function gatherFaults(faults: Fault[], step: () => void): void {
	try {
		step();
	} catch (error) {
		if (!(error instanceof InputError)) throw error;
		faults.push(...error.faults);
	}
}

/** A value as a message shows it: `"12"`, `undefined`, `a function`, `a list`. */
export function show(value: unknown): string {
	if (typeof value === "string") return JSON.stringify(value.length > 60 ? `${value.slice(0, 60)}…` : value);
	if (typeof value === "function") return "a function";
	if (Array.isArray(value) || ArrayBuffer.isView(value)) return "a list";
	return typeof value === "object" && value !== null ? "an object" : String(value);
}

/** Numerical trouble: the solver could not vouch for its answer. */
export class SolverError extends Error {
	/** Time that was reached [s]. */
	readonly timeSeconds: number;
	/** State at that time, in the solver's order [ppm]. */
	readonly state: readonly number[];

	constructor(message: string, timeSeconds: number, state: readonly number[]) {
		const values = state.map((x) => x.toPrecision(6)).join(", ");
		super(
			`${message} (at ${Number(timeSeconds.toPrecision(6))} s${values === "" ? "" : `, state ${values} ppm`})`,
		);
		this.name = "SolverError";
		this.timeSeconds = timeSeconds;
		this.state = state;
	}
}
