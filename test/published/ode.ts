import { integrateInterval } from "../../lib/solve/propagate/odex.ts";
import { makeDormandPrince } from "../../lib/solve/propagate/rungekutta.ts";
import type { Answer, Inputs } from "./check.ts";

/** Slopes at (x, y). */
type Slopes = (x: number, y: ArrayLike<number>) => number[];

interface Problem {
	readonly slopes: Slopes;
	readonly start: readonly number[];
	/** Points to integrate to, one after the other, each time afresh. */
	readonly stops: readonly number[];
	readonly tolerance: number;
	/** No step is longer. */
	readonly cap: number;
}

/** States at the stops. */
type Solve = (problem: Problem) => number[][];

const byOdex: Solve = ({ slopes, start, stops, tolerance, cap }) => {
	let from = 0;
	let y = [...start];
	return stops.map((to) => {
		const origin = from;
		y = integrateInterval(
			{
				derivative: (t, state) => slopes(origin + t, state),
				seconds: to - origin,
				shortestSeconds: cap,
				relativeTolerance: tolerance,
				absoluteTolerance: y.map(() => tolerance),
			},
			y,
		).y;
		from = to;
		return y;
	});
};

const byRungeKutta: Solve = ({ slopes, start, stops, tolerance, cap }) => {
	let origin = 0;
	const y = Float64Array.from(start);
	const write = (t: number, state: Float64Array, slope: Float64Array) => slope.set(slopes(origin + t, state));
	const { integrate } = makeDormandPrince(y.length, write, tolerance, tolerance);
	return stops.map((to) => {
		integrate(y, to - origin, 1e-3 * cap, cap);
		origin = to;
		return [...y];
	});
};

const solvers = { odex: byOdex, "Dormand-Prince": byRungeKutta };

const threeBodies =
	(mu: number): Slopes =>
	(_x, y) => {
		const [a, b, c, d] = [y[0]!, y[1]!, y[2]!, y[3]!];
		const rest = 1 - mu;
		const d1 = ((a + mu) ** 2 + b * b) ** 1.5;
		const d2 = ((a - rest) ** 2 + b * b) ** 1.5;
		return [
			c,
			d,
			a + 2 * d - (rest * (a + mu)) / d1 - (mu * (a - rest)) / d2,
			b - 2 * c - (rest * b) / d1 - (mu * b) / d2,
		];
	};

const slopesOf: Record<string, Slopes> = {
	"ODE-A1": (_x, y) => [-y[0]!],
	"ODE-A2": (_x, y) => [-(y[0]! ** 3) / 2],
	"ODE-A3": (x, y) => [y[0]! * Math.cos(x)],
	"ODE-A4": (_x, y) => [(y[0]! / 4) * (1 - y[0]! / 20)],
	"ODE-B1": (_x, y) => [2 * (y[0]! - y[0]! * y[1]!), -(y[1]! - y[0]! * y[1]!)],
	"ODE-B5": (_x, y) => [y[1]! * y[2]!, -y[0]! * y[2]!, -0.51 * y[0]! * y[1]!],
	"ODE-D1": (_x, y) => {
		const cube = Math.hypot(y[0]!, y[1]!) ** 3;
		return [y[2]!, y[3]!, -y[0]! / cube, -y[1]! / cube];
	},
	"ODE-E2": (_x, y) => [y[1]!, (1 - y[0]! ** 2) * y[1]! - y[0]!],
	"ODE-E4": (_x, y) => [y[1]!, 0.032 - 0.4 * y[1]! ** 2],
	"ODE-F3": (x, y) => [y[1]!, 0.01 * y[1]! * (1 - y[0]! ** 2) - y[0]! - Math.abs(Math.sin(Math.PI * x))],
	"ODE-LV": (_x, y) => [(2 / 3) * y[0]! - (4 / 3) * y[0]! * y[1]!, y[0]! * y[1]! - y[1]!],
};

/** Beyond what an explicit method is made for: odex has to refuse it rather than return a wrong end. */
const stiffVanDerPol: Problem = {
	slopes: (_x, y) => [y[1]!, ((1 - y[0]! ** 2) * y[1]! - y[0]!) / 1e-6],
	start: [2, 0],
	stops: [2],
	tolerance: 1e-8,
	cap: 2,
};

/** @throws SolverError */
export const stiffByOdex = (): number[][] => byOdex(stiffVanDerPol);

const integersTo = (end: number): number[] => Array.from({ length: end }, (_, i) => i + 1);
const byEach = (what: string, ours: (solve: Solve) => number[]) =>
	Object.entries(solvers).map(([name, solve]) => ({ what: `${what}, ${name}`, ours: ours(solve) }));

/** The two integrators on problems with known ends. */
export function ode(id: string, { one, list }: Inputs): Record<string, Answer> | undefined {
	switch (id) {
		case "ODE-F2":
			// The slope has a jump at each integer, so each unit is a problem of its own, with one rate.
			return {
				y20: byEach("DETEST F2, restarted at each integer", (solve) => {
					let y = [...list("y0")];
					for (let unit = 0; unit < list("x")[1]!; unit++) {
						const rate = unit % 2 === 0 ? 1.5 : 0.5;
						const slopes: Slopes = (_x, now) => [55 - rate * now[0]!];
						y = solve({ slopes, start: y, stops: [1], tolerance: 1e-10, cap: 1 })[0]!;
					}
					return y;
				}),
			};
		case "ODE-ARENSTORF":
			return {
				y_end: byEach(
					"Arenstorf orbit after one period",
					(solve) =>
						solve({
							slopes: threeBodies(one("mu")),
							start: list("y0"),
							stops: [one("period")],
							tolerance: 1e-11,
							cap: 1,
						}).at(-1)!,
				),
			};
		case "ODE-LV": {
			const at = (index: number) =>
				byEach(`Lotka-Volterra, y${index + 1} at x = 1, 5, 10, 15`, (solve) =>
					solve({ slopes: slopesOf[id]!, start: [1, 1], stops: list("x"), tolerance: 1e-8, cap: 1 }).map(
						(y) => y[index]!,
					),
				);
			return { y1: at(0), y2: at(1) };
		}
		case "ODE-VDPSTIFF":
			// Far stiffer than any chamber; the explicit method gets there in a million steps.
			return {
				y: {
					what: "stiff van der Pol, Dormand-Prince (odex refuses)",
					ours: byRungeKutta(stiffVanDerPol).at(-1)!,
				},
			};
	}
	const slopes = slopesOf[id];
	if (slopes === undefined) return undefined;
	const end = list("x")[1]!;
	const stops = id === "ODE-F3" ? integersTo(end) : [end];
	const name = `DETEST ${id.slice("ODE-".length)}${stops.length > 1 ? ", restarted at each integer" : ""}`;
	return {
		y20: byEach(
			name,
			(solve) => solve({ slopes, start: list("y0"), stops, tolerance: 1e-10, cap: 1 }).at(-1)!,
		),
	};
}
