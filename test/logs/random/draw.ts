/** Random draws by a seed (mulberry32). */
export interface Draw {
	readonly uniform: () => number;
	/** 0 to n − 1. */
	readonly below: (n: number) => number;
	readonly oneOf: <T>(items: readonly T[]) => T;
	readonly chance: (p: number) => boolean;
	/** One of several, by weight. */
	readonly weighted: <T extends string>(weights: Readonly<Record<T, number>>) => T;
	readonly shuffled: <T>(items: readonly T[]) => T[];
}

export function drawFrom(seed: number): Draw {
	let state = (seed * 2_654_435_761) >>> 0;
	const uniform = (): number => {
		state = (state + 0x6d2b79f5) >>> 0;
		let x = state;
		x = Math.imul(x ^ (x >>> 15), x | 1);
		x ^= x + Math.imul(x ^ (x >>> 7), x | 61);
		return ((x ^ (x >>> 14)) >>> 0) / 4_294_967_296;
	};
	const below = (n: number): number => Math.floor(uniform() * n);
	return {
		uniform,
		below,
		oneOf: (items) => items[below(items.length)]!,
		chance: (p) => uniform() < p,
		weighted<T extends string>(weights: Readonly<Record<T, number>>): T {
			const entries = Object.entries(weights) as [T, number][];
			let left = uniform() * entries.reduce((sum, [, weight]) => sum + weight, 0);
			for (const [name, weight] of entries) {
				left -= weight;
				if (left < 0) return name;
			}
			return entries.at(-1)![0];
		},
		shuffled(items) {
			const out = [...items];
			for (let k = out.length - 1; k > 0; k--) {
				const j = below(k + 1);
				[out[k], out[j]] = [out[j]!, out[k]!];
			}
			return out;
		},
	};
}
