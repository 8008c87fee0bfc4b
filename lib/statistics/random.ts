/** Uniform numbers in [0, 1): the small fast counting generator sfc32, seeded by splitmix64 (both from memory). */
export function seededUniform(seed: number): () => number {
	const mask = (1n << 64n) - 1n;
	let mix = BigInt(seed) & mask;
	const splitmix = () => {
		mix = (mix + 0x9e3779b97f4a7c15n) & mask;
		let z = mix;
		z = ((z ^ (z >> 30n)) * 0xbf58476d1ce4e5b9n) & mask;
		z = ((z ^ (z >> 27n)) * 0x94d049bb133111ebn) & mask;
		return z ^ (z >> 31n);
	};
	const first = splitmix();
	const second = splitmix();
	let a = Number(first & 0xffffffffn) | 0;
	let b = Number(first >> 32n) | 0;
	let c = Number(second & 0xffffffffn) | 0;
	let counter = Number(second >> 32n) | 0;
	return () => {
		const t = (((a + b) | 0) + counter) | 0;
		counter = (counter + 1) | 0;
		a = b ^ (b >>> 9);
		b = (c + (c << 3)) | 0;
		c = ((c << 21) | (c >>> 11)) + t;
		c |= 0;
		return (t >>> 0) / 4294967296;
	};
}
