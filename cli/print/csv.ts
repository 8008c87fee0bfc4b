/** A cell of a CSV file; a text that a spreadsheet would take for a formula, spaces and line ends before it or not, is kept a text. */
export function cell(value: string | number | boolean | null): string {
	if (value === null || (typeof value === "number" && !Number.isFinite(value))) return "";
	if (typeof value !== "string") return String(value);
	const text = /^\s*[=+\-@]|^[\t\r]/.test(value) ? `'${value}` : value;
	return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
