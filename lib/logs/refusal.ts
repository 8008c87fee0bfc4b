import { InputError } from "../errors.ts";

/** Why a file is not read: what of it, the fault with its way out, and the line where it has one. */
export const refusal = (path: string, message: string, line?: number): InputError =>
	new InputError([{ path, message, ...(line === undefined ? {} : { line }) }]);
