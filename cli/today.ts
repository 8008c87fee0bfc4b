/** The day, as the reader's clock has it: "2026-03-14". */
export function today(): string {
	const now = new Date();
	const two = (part: number): string => String(part).padStart(2, "0");
	return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}
