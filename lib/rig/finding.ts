/** `ok`, attention, or stop: do not switch it on like this. */
export type RigVerdict = "ok" | "attention" | "stop";

/** A bad sign stops or wants a look; none is ok. */
export const verdictOf = (isStop: boolean, isAttention: boolean): RigVerdict =>
	isStop ? "stop" : isAttention ? "attention" : "ok";

/**
 * A finding: a code, a verdict and the numbers behind it, in SI; the sentences are made where they are read.
 * @param about name of the schedule, or code of the wiring fault, that it is about; null: the rig as a whole
 */
export const finding = <const Code extends string, const Data extends object>(
	code: Code,
	verdict: RigVerdict,
	data: Data,
	about: string | null = null,
) => ({ code, about, verdict, ...data });

/** More, or less, than a limit by more than rounding. */
export const isAbove = (value: number, limit: number): boolean => value > limit * (1 + 1e-9);
export const isBelow = (value: number, limit: number): boolean => value < limit * (1 - 1e-9);
