/** Waves of an angle that goes with time, or with the reading, each of mean square 1. */
export interface Waves {
	readonly count: number;
	/** Puts all of them at one time or reading into every so many places of an array. */
	fill(at: number, to: Float64Array, first: number, stride: number): void;
}

/** Cosines of the first multiples of an angle, with their sines beside them where they are wanted; one cosine and sine serve them all. */
export function wavesOf(angle: (at: number) => number, multiples: number, hasSines: boolean): Waves {
	const per = hasSines ? 2 : 1;
	return {
		count: per * multiples,
		fill(at, to, first, stride) {
			const turn = angle(at);
			const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
			let [c, s] = [Math.SQRT2, 0];
			for (let k = 0; k < multiples; k++) {
				const before = c;
				c = before * cos - s * sin;
				s = s * cos + before * sin;
				to[first + per * k * stride] = c;
				if (hasSines) to[first + (per * k + 1) * stride] = s;
			}
		},
	};
}
