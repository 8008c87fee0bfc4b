import type { Stretch } from "./slice.ts";

/** A part of a file and what was made of it, or why nothing could be. */
export interface Piece<T> {
	readonly fileName: string;
	/** Where it lies in the file, and when that began; null where the file could not be read or divided. */
	readonly stretch:
		| (Stretch & { readonly startUtcSeconds: number | null; readonly zone: string | null })
		| null;
	readonly result: T | null;
	readonly fault: string | null;
}
