/** φ1(x) = (1 - e^-x)/x, the mean of e^-t over [0, x]; φ1(0) = 1, so an airtight chamber needs no branch of its own. */
export function phi1(x: number): number {
	return x === 0 ? 1 : -Math.expm1(-x) / x;
}

/** φ2(x) = (x - 1 + e^-x)/x²; below x = 1/2 by its series 1/2! - x/3! + x²/4! …, for there the closed form cancels. */
export function phi2(x: number): number {
	if (x > 0.5) return (1 - phi1(x)) / x;
	return (
		1 / 2 -
		x *
			(1 / 6 -
				x *
					(1 / 24 -
						x *
							(1 / 120 -
								x *
									(1 / 720 -
										x *
											(1 / 5040 -
												x *
													(1 / 40320 -
														x *
															(1 / 362880 -
																x *
																	(1 / 3628800 -
																		x * (1 / 39916800 - x * (1 / 479001600 - x / 6227020800))))))))))
	);
}
