import { type Fault, InputError } from "../../lib/errors.ts";

/** The faults with which some work is refused. Fails when it is not, or by another error. */
export function refusalOf(work: () => unknown): readonly Fault[] {
	try {
		work();
	} catch (error) {
		if (error instanceof InputError) return error.faults;
		throw error;
	}
	throw new Error("was not refused");
}
