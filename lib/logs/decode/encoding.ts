import type { LogLayout } from "../log.ts";

export type Encoding = LogLayout["encoding"];

/** How the bytes of a file stand for text, or why they do not. */
export type FoundEncoding =
	| { readonly encoding: Encoding; readonly markBytes: number }
	| { readonly refused: string };

/** Finds the encoding from the first bytes of a file. */
export function findEncoding(head: Uint8Array): FoundEncoding {
	const [a, b, c, d] = head;
	if (a === 0xff && b === 0xfe) return { encoding: "utf-16le", markBytes: 2 };
	if (a === 0xfe && b === 0xff) return { encoding: "utf-16be", markBytes: 2 };
	if (a === 0xef && b === 0xbb && c === 0xbf) return { encoding: "utf-8", markBytes: 3 };
	if (a === 0x50 && b === 0x4b && c === 3 && d === 4)
		return { refused: "is a spreadsheet or archive, not text; save the sheet as CSV" };
	if (a === 0x1f && b === 0x8b) return { refused: "is compressed; unpack it first" };
	const zeros = [0, 0];
	let controls = 0;
	for (let i = 0; i < head.length; i++) {
		const byte = head[i]!;
		if (byte === 0) zeros[i % 2]!++;
		if (byte < 9 || (byte > 13 && byte < 32)) controls++;
	}
	const half = head.length / 2;
	if (zeros[1]! > 0.4 * half && zeros[0]! < 0.05 * half) return { encoding: "utf-16le", markBytes: 0 };
	if (zeros[0]! > 0.4 * half && zeros[1]! < 0.05 * half) return { encoding: "utf-16be", markBytes: 0 };
	// A logger that lost power leaves a few of them.
	if (controls > 0.02 * head.length) return { refused: "is a binary file, not text; export the log as CSV" };
	return { encoding: isUtf8(head) ? "utf-8" : "latin1", markBytes: 0 };
}

function isUtf8(bytes: Uint8Array): boolean {
	try {
		// As a stream, since the last character may be cut.
		new TextDecoder("utf-8", { fatal: true }).decode(bytes, { stream: true });
		return true;
	} catch (error) {
		if (error instanceof TypeError) return false;
		throw error;
	}
}

/** Turns pieces of a file into bytes in which delimiters, digits and line ends are ASCII. */
export function toAscii(
	encoding: Encoding,
	markBytes: number,
): (chunk: Uint8Array, isLast: boolean) => Uint8Array {
	let skip = markBytes;
	const unmarked = (chunk: Uint8Array): Uint8Array => {
		const skipped = Math.min(skip, chunk.length);
		skip -= skipped;
		return chunk.subarray(skipped);
	};
	if (encoding === "utf-8" || encoding === "latin1") return unmarked;
	const decoder = new TextDecoder(encoding);
	const encoder = new TextEncoder();
	return (chunk, isLast) => encoder.encode(decoder.decode(unmarked(chunk), { stream: !isLast }));
}

/** Reads bytes made by `toAscii` as text. */
export function textDecoder(encoding: Encoding): (bytes: Uint8Array) => string {
	const decoder = new TextDecoder(encoding === "latin1" ? "windows-1252" : "utf-8", { ignoreBOM: true });
	// Cells are short and nearly all ASCII, for which a decoder is slow to set out.
	return (bytes) => {
		if (bytes.length > 64) return decoder.decode(bytes);
		let text = "";
		for (let i = 0; i < bytes.length; i++) {
			if (bytes[i]! > 127) return decoder.decode(bytes);
			text += String.fromCharCode(bytes[i]!);
		}
		return text;
	};
}
