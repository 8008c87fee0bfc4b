/** Waves of an angle that goes with time, each of mean square 1. */
export interface Waves {
	readonly count: number;
	/** Puts all of them at one time into every so many places of an array. */
	fill(timeSeconds: number, to: Float64Array, at: number, stride: number): void;
}

/** Cosines of the first multiples of an angle, with their sines beside them where they are wanted; one cosine and sine serve them all. */
export function wavesOf(angle: (timeSeconds: number) => number, multiples: number, hasSines: boolean): Waves {
	const per = hasSines ? 2 : 1;
	return {
		count: per * multiples,
		fill(timeSeconds, to, at, stride) {
			const turn = angle(timeSeconds);
			const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
			let [c, s] = [Math.SQRT2, 0];
			for (let k = 0; k < multiples; k++) {
				const before = c;
				c = before * cos - s * sin;
				s = s * cos + before * sin;
				to[at + per * k * stride] = c;
				if (hasSines) to[at + (per * k + 1) * stride] = s;
			}
		},
	};
}
