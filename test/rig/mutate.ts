import type { Wiring, WiringPart } from "../../lib/rig/wiring/netlist/netlist.ts";

/** A wiring with a terminal taken off its net and put on another, or on none. */
export const move = (wiring: Wiring, pin: string, to: string | null): Wiring => ({
	parts: wiring.parts,
	nets: Object.fromEntries(
		Object.entries(wiring.nets).map(([net, pins]) => {
			const kept = pins.filter((p) => p !== pin);
			return [net, net === to ? [...kept, pin] : kept];
		}),
	),
});
export const swap = (wiring: Wiring, a: string, b: string): Wiring => ({
	parts: wiring.parts,
	nets: Object.fromEntries(
		Object.entries(wiring.nets).map(([net, pins]) => [
			net,
			pins.map((pin) => (pin === a ? b : pin === b ? a : pin)),
		]),
	),
});
export const netOf = (wiring: Wiring, pin: string): string =>
	Object.keys(wiring.nets).find((net) => wiring.nets[net]!.includes(pin))!;
export const withPart = (wiring: Wiring, name: string, part: WiringPart): Wiring => ({
	parts: { ...wiring.parts, [name]: part },
	nets: wiring.nets,
});
export const change = (wiring: Wiring, name: string, ratings: object): Wiring =>
	withPart(wiring, name, { ...wiring.parts[name]!, ...ratings } as WiringPart);
/** Takes a part of two ends out and joins what was on them. */
export const bridge = (wiring: Wiring, name: string): Wiring => {
	const [gone, kept] = [netOf(wiring, `${name}.2`), netOf(wiring, `${name}.1`)];
	const nets = { ...wiring.nets };
	const joined = [...nets[kept]!, ...nets[gone]!].filter((pin) => !pin.startsWith(`${name}.`));
	delete (nets as Record<string, unknown>)[gone];
	const parts = { ...wiring.parts };
	delete (parts as Record<string, unknown>)[name];
	return { parts, nets: { ...nets, [kept]: joined } };
};
/** Makes two nets one. */
export const merge = ({ parts, nets }: Wiring, gone: string, kept: string): Wiring => ({
	parts,
	nets: Object.fromEntries(
		Object.entries(nets).flatMap(([net, pins]) =>
			net === gone ? [] : [[net, net === kept ? [...pins, ...nets[gone]!] : pins]],
		),
	),
});
export const fans = (wiring: Wiring): string[] =>
	Object.keys(wiring.parts).filter((name) => name.startsWith("FAN"));
