/** Work that is done sooner shows no bar [ms]. */
const PATIENCE = 1000;
const WIDTH = 30;

/** A bar on standard error while work goes on that takes a while; nothing where standard error is no terminal. */
export function progressBar(title: string): {
	readonly onProgress: (share: number) => void;
	/** Wipes the bar away. */
	readonly done: () => void;
} {
	const began = performance.now();
	let shown = false;
	const write = (text: string): void => {
		if (process.stderr.isTTY) process.stderr.write(text);
	};
	return {
		onProgress(share) {
			if (performance.now() - began < PATIENCE) return;
			const full = Math.round(Math.max(0, Math.min(1, share)) * WIDTH);
			write(`\r${title} [${"#".repeat(full)}${" ".repeat(WIDTH - full)}] ${Math.round(share * 100)} %`);
			shown = true;
		},
		done() {
			if (shown) write("\r\u001b[K");
		},
	};
}
