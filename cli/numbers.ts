import { InputError } from "../lib/errors.ts";

/** Reads the numbers of options one by one; `check` then throws InputError with every fault. */
export function numberReader() {
	const faults: string[] = [];
	const refuse = (message: string): void => {
		faults.push(message);
	};
	return {
		refuse,
		read(
			option: string,
			text: string,
			wanted: string,
			fits: (x: number) => boolean,
			pattern = /^-?\d+$/,
		): number {
			const value = pattern.test(text.trim()) ? Number.parseFloat(text) : Number.NaN;
			if (!fits(value)) refuse(`--${option} needs ${wanted}, got "${text}"`);
			return value;
		},
		check(): void {
			if (faults.length > 0) throw new InputError(faults.map((message) => ({ message })));
		},
	};
}
