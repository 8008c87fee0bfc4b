import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { connectionList } from "../../lib/rig/wiring/connections.ts";
import type { Wiring } from "../../lib/rig/wiring/netlist/netlist.ts";
import { standardWiring } from "../../lib/rig/wiring/netlist/standardwiring.ts";
import { checkWiring } from "../../lib/rig/wiring/wiring.ts";
import { DARK, LIGHT } from "../../reports/charts/theme.ts";
import { drawWiring, type Point, type Rect, type WiringDrawing } from "../../reports/rig/drawing/drawing.ts";
import { wiringFigure, wiringSvg } from "../../reports/rig/drawing/figure.ts";
import { connectionWords } from "../../reports/rig/wiringwords.ts";
import { anyWiring, CASES, caseOf, LOWSIDE, RELAY, soundParts, standard } from "./wirings.ts";

const seeded = { seed: 1, numRuns: 40 };

const overlap = (a: Rect, b: Rect): boolean =>
	a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;
const holds = (outer: Rect, inner: Rect): boolean =>
	inner.x >= outer.x &&
	inner.y >= outer.y &&
	inner.x + inner.width <= outer.x + outer.width &&
	inner.y + inner.height <= outer.y + outer.height;
/** The room of a straight piece of wire, half a line wide on each side; its ends, which touch a box, are taken off. */
const roomOf = (from: Point, to: Point): Rect => {
	const [x, y] = [Math.min(from.x, to.x), Math.min(from.y, to.y)];
	const [width, height] = [Math.abs(to.x - from.x), Math.abs(to.y - from.y)];
	return width > 0
		? { x: x + 0.01, y: y - 1.5, width: width - 0.02, height: 3 }
		: { x: x - 1.5, y: y + 0.01, width: 3, height: height - 0.02 };
};
const pairs = <T>(list: readonly T[]): [T, T][] =>
	list.flatMap((a, place) => list.slice(place + 1).map((b): [T, T] => [a, b]));

/** Everything that is wrong with the geometry of a drawing. */
function complaints(drawing: WiringDrawing, wiring: Wiring): string[] {
	const { boxes, labels, wires, links, width, height, terminals, joints } = drawing;
	const sheet = { x: 0, y: 0, width, height };
	const found: string[] = [];
	for (const { part, rect } of boxes) if (!holds(sheet, rect)) found.push(`box ${part} leaves the sheet`);
	for (const [a, b] of pairs(boxes)) if (overlap(a.rect, b.rect)) found.push(`boxes ${a.part} and ${b.part}`);
	for (const { text, rect, sizePx } of labels) {
		if (!holds(sheet, rect)) found.push(`“${text}” leaves the sheet`);
		if (sizePx < 11) found.push(`“${text}” is too small`);
		const touched = boxes.filter((box) => overlap(box.rect, rect));
		if (touched.length > 1 || touched.some((box) => !holds(box.rect, rect)))
			found.push(`“${text}” crosses the edge of ${touched.map(({ part }) => part)}`);
	}
	for (const [a, b] of pairs(labels)) if (overlap(a.rect, b.rect)) found.push(`“${a.text}” over “${b.text}”`);
	const rooms = wires.map(({ from, to }) => roomOf(from, to));
	wires.forEach(({ net, from, to }, place) => {
		const room = rooms[place]!;
		if (from.x !== to.x && from.y !== to.y) found.push(`a wire of ${net} runs askew`);
		if (!holds(sheet, room)) found.push(`a wire of ${net} leaves the sheet`);
		for (const { part, rect } of boxes) if (overlap(room, rect)) found.push(`wire of ${net} through ${part}`);
		for (const { text, rect } of labels) if (overlap(room, rect)) found.push(`wire of ${net} over “${text}”`);
	});
	// Wires of two nets may cross at a right angle and do nothing else.
	for (const [i, j] of pairs([...wires.keys()])) {
		const [a, b] = [wires[i]!, wires[j]!];
		if (a.net === b.net) continue;
		const along = (a.from.x === a.to.x) === (b.from.x === b.to.x);
		if (along && overlap(rooms[i]!, rooms[j]!)) found.push(`wires of ${a.net} and ${b.net} run together`);
		for (const end of [a.from, a.to, b.from, b.to])
			for (const one of [rooms[i]!, rooms[j]!])
				if (
					[a.from, a.to].includes(end) !== (one === rooms[i]) &&
					overlap({ x: end.x - 1.5, y: end.y - 1.5, width: 3, height: 3 }, one)
				)
					found.push(`a wire of ${a.net} or ${b.net} ends on the other`);
	}
	for (const { part, points } of links)
		for (const [place, to] of points.slice(1).entries()) {
			const from = points[place]!;
			if (from.x === to.x && from.y === to.y) continue;
			if (from.x !== to.x && from.y !== to.y) found.push(`a link in ${part} runs askew`);
			const room = roomOf(from, to);
			if (!holds(boxes.find((box) => box.part === part)!.rect, room)) found.push(`a link leaves ${part}`);
			for (const { text, rect } of labels)
				if (overlap(room, rect)) found.push(`link of ${part} over “${text}”`);
		}
	if (boxes.length !== Object.keys(wiring.parts).length) found.push("not every part is drawn");
	const dots = [...terminals, ...joints];
	for (const [a, b] of pairs(dots)) if (Math.hypot(a.x - b.x, a.y - b.y) < 8) found.push("dots run together");
	return found;
}

const drawn = (wiring: Wiring): string[] =>
	drawWiring(wiring).flatMap((drawing) => complaints(drawing, wiring));

describe("nothing overlaps", () => {
	test.each(CASES)("in $id, which fits a phone", ({ parts, nets }) => {
		expect(drawn({ parts, nets })).toEqual([]);
		for (const { width } of drawWiring({ parts, nets })) expect(width).toBeLessThanOrEqual(352);
	});

	const boards = [RELAY, LOWSIDE].flatMap((timer) =>
		[1, 2, 3, 4, 5, 6].flatMap((fans) =>
			[false, true].map((full) => ({ timer, kind: timer.kind, fans, full })),
		),
	);
	test.each(boards)(
		"in a generated wiring: $kind, $fans fans, switch and diode $full",
		({ timer, fans, full }) => {
			const wiring = standard(fans, { timer, handSwitch: full, flybackDiode: full });
			expect(drawn(wiring)).toEqual([]);
			for (const { width } of drawWiring(wiring)) expect(width).toBeLessThanOrEqual(352);
		},
	);

	test("in standard wirings of any ratings", () => {
		fc.assert(
			fc.property(soundParts, (parts) => {
				expect(drawn(standardWiring(parts))).toEqual([]);
			}),
			seeded,
		);
	});

	test("whatever is joined with whatever", () => {
		fc.assert(
			fc.property(fc.oneof(anyWiring(6), anyWiring(12)), (wiring) => {
				expect(drawn(wiring)).toEqual([]);
			}),
			{ ...seeded, numRuns: 120 },
		);
	});

	test("with names of any length and script", () => {
		for (const name of [
			"a",
			"the big fan by the door that everybody knows",
			"换气扇换气扇换气扇换气扇换气扇换气扇",
			"W".repeat(60),
		]) {
			const text = JSON.stringify(standard(1)).replaceAll("FAN", name).replaceAll("TIMER", `${name}2`);
			expect(drawn(JSON.parse(text))).toEqual([]);
		}
	});

	test("and what does overlap is found", () => {
		const wiring = standard(2);
		const [drawing] = drawWiring(wiring);
		const { boxes, labels, wires } = drawing!;
		const planted: [Partial<WiringDrawing>, string][] = [
			[{ boxes: [boxes[0]!, ...boxes] }, "boxes SUPPLY and SUPPLY"],
			[{ labels: [...labels, labels[3]!] }, `“${labels[3]!.text}” over “${labels[3]!.text}”`],
			[{ labels: [{ ...labels[1]!, rect: { ...boxes[0]!.rect, x: 2 } }] }, "wire of supply plus over"],
			[{ wires: [{ ...wires[0]!, to: { x: 200, y: wires[0]!.to.y } }] }, "through SUPPLY"],
			[{ wires: [...wires, { ...wires[1]!, net: "x" }] }, "run together"],
			[
				{ wires: [...wires, { ...wires[0]!, net: "x", to: { x: -20, y: wires[0]!.to.y } }] },
				"leaves the sheet",
			],
			[{ width: 300 }, "leaves the sheet"],
			[
				{
					terminals: [
						{ x: 1, y: 1 },
						{ x: 2, y: 2 },
					],
				},
				"dots run together",
			],
		];
		for (const [change, complaint] of planted)
			expect(complaints({ ...drawing!, ...change }, wiring).join("; ")).toContain(complaint);
	});

	test("when names of terminals are wrong", () => {
		const wiring = standard(2);
		const nets = {
			...wiring.nets,
			"switched plus": ["TIMER.N0", "FAN1.+"],
			more: ["FAN1.-", "FUSE.1", "FAN7.+"],
		};
		const [drawing, second] = drawWiring({ parts: wiring.parts, nets });
		expect(second).toBeUndefined();
		expect(complaints(drawing!, { parts: wiring.parts, nets })).toEqual([]);
		expect(drawing!.labels.map(({ text }) => text).join(" ")).toMatch(/“TIMER\.N0”.*“FAN7\.\+”.*“FUSE\.1”/);
	});
});

describe("the current", () => {
	const carrying = ({ wires }: WiringDrawing): string[] => [
		...new Set(wires.flatMap(({ net, isLive }) => (isLive ? [net] : []))),
	];

	test("flows to the timer alone at rest, and through the contact to the fan when it is energised", () => {
		const [rest, on] = drawWiring(standard(1));
		expect(carrying(rest!).sort()).toEqual(["fused plus", "minus", "supply plus"]);
		expect(carrying(on!).sort()).toEqual(["fused plus", "minus", "supply plus", "switched plus"]);
		expect(rest!.boxes.filter(({ isActive }) => isActive)).toEqual([]);
		expect(on!.boxes.filter(({ isActive }) => isActive).map(({ part }) => part)).toEqual(["TIMER", "FAN"]);
		const contact = on!.links.filter(({ part }) => part === "TIMER");
		expect(contact.map(({ isClosed, isLive }) => [isClosed, isLive])).toEqual([
			[true, true],
			[false, false],
		]);
	});

	test("goes down on the plus side and up on the minus side", () => {
		const [, on] = drawWiring(standard(3));
		for (const { net, from, to, isLive } of on!.wires) {
			if (!isLive || from.y === to.y) continue;
			expect(Math.sign(to.y - from.y), net).toBe(net === "minus" ? -1 : 1);
		}
	});

	test("of a short circuit is shown on its way, and said", () => {
		const [rest, on] = drawWiring(caseOf("short-on"));
		expect(rest!.isShorted).toBe(false);
		expect(on!.isShorted).toBe(true);
		expect(carrying(on!).sort()).toEqual(["G", "P0", "P1"]);
		expect(on!.description).toMatch(/^Short circuit along SUP\.\+, /);
	});

	test("enters and leaves every box at the terminals that the check says", () => {
		fc.assert(
			fc.property(soundParts, (parts) => {
				const wiring = standardWiring(parts);
				const { states } = checkWiring(wiring);
				const [, on] = drawWiring(wiring);
				const stubs = on!.wires.filter(({ from, to, isLive }) => isLive && from.y === to.y);
				const live = Object.values(states!.energised.leavingAmps).filter((amps) => Math.abs(amps) > 1e-9);
				expect(stubs).toHaveLength(live.length);
			}),
			seeded,
		);
	});
});

describe("faults", () => {
	test("are called by their codes at the parts that they name", () => {
		const [rest] = drawWiring(caseOf("no-common"));
		const texts = rest!.labels.map(({ text }) => text);
		expect(texts).toContain("▲ never on");
		expect(texts).toContain("▲ floating");
		expect(texts).toContain("not connected");
		expect(rest!.boxes.filter(({ isFaulty }) => isFaulty).map(({ part }) => part)).toEqual(["TMR", "FAN"]);
	});
});

describe("the SVG", () => {
	test("has a title, a description and only colours of its theme", () => {
		for (const theme of [LIGHT, DARK])
			for (const drawing of drawWiring(caseOf("lowside-right"))) {
				const svg = wiringSvg(drawing, theme, "w");
				expect(svg).toMatch(/^<svg [^>]*role="img" aria-labelledby="w-title w-desc"/);
				expect(svg).toContain(`<title id="w-title">${drawing.title}</title>`);
				expect(svg).toContain("TMR: ");
				const colours = [...svg.matchAll(/(?:fill|stroke)="([^"]+)"/g)].map(([, colour]) => colour);
				const known = ["none", theme.ink, theme.soft, theme.limit, theme.paper, ...theme.series];
				expect(colours.filter((colour) => !known.includes(colour!))).toEqual([]);
			}
	});

	test("escapes names and has no style of its own", () => {
		const text = JSON.stringify(standard(1)).replaceAll("FAN", "<b>&amp;");
		const figure = wiringFigure("w", drawWiring(JSON.parse(text))).html;
		expect(figure).not.toContain("<b>");
		expect(figure).not.toMatch(/style=/);
	});
});

describe("the connection list", () => {
	const words = (wiring: Wiring): string[] =>
		connectionList(wiring).map((one) => connectionWords(one, wiring));

	test("leads a screwdriver from the supply to the fan and back", () => {
		expect(words(standard(2, { flybackDiode: true }))).toEqual([
			"From + of SUPPLY to end 1 of FUSE: red wire, positive.",
			"From end 2 of FUSE to V+ of TIMER: red wire, positive.",
			"From V+ of TIMER to COM of TIMER: red wire, positive.",
			"From NO of TIMER to + of FAN1: yellow wire, switched by the timer.",
			"From + of FAN1 to + of FAN2: yellow wire, switched by the timer.",
			"From + of FAN2 to the ring end (K) of DIODE: yellow wire, switched by the timer.",
			"From − of SUPPLY to V− of TIMER: black wire, negative.",
			"From V− of TIMER to − of FAN1: black wire, negative.",
			"From − of FAN1 to − of FAN2: black wire, negative.",
			"From − of FAN2 to the plain end (A) of DIODE: black wire, negative.",
		]);
	});

	test("does not join the minus leads of a board that switches them", () => {
		expect(words(standard(1, { timer: LOWSIDE, handSwitch: true }))).toEqual([
			"From + of SUPPLY to end 1 of FUSE: red wire, positive.",
			"From end 2 of FUSE to end 1 of SWITCH: red wire, positive.",
			"From end 2 of SWITCH to V+ of TIMER: red wire, positive.",
			"From OUT+ of TIMER to + of FAN: red wire, positive.",
			"From OUT− of TIMER to − of FAN: yellow wire, negative, switched by the timer.",
			"From − of SUPPLY to V− of TIMER: black wire, negative.",
		]);
	});

	test("made wire by wire it is the wiring again", () => {
		fc.assert(
			fc.property(fc.oneof(soundParts.map(standardWiring), anyWiring(20)), (wiring) => {
				const net = new Map<string, string>();
				for (const { from, to } of connectionList(wiring)) {
					const joined = net.get(from) ?? from;
					const other = net.get(to) ?? to;
					net.set(from, joined);
					for (const [pin, name] of [...net, [to, other] as const]) if (name === other) net.set(pin, joined);
				}
				for (const pins of Object.values(wiring.nets)) {
					const names = new Set(pins.map((pin) => net.get(pin) ?? pin));
					expect(names.size).toBe(Math.min(1, pins.length));
				}
				expect(connectionList(wiring)).toHaveLength(
					Object.values(wiring.nets).reduce((sum, pins) => sum + Math.max(0, pins.length - 1), 0),
				);
			}),
			seeded,
		);
	});

	test("calls a wire that shorts the supply by its name", () => {
		const wiring = standard(1);
		const joined = { parts: wiring.parts, nets: { all: Object.values(wiring.nets).flat() } };
		expect(new Set(connectionList(joined).map(({ role }) => role))).toEqual(new Set(["short"]));
	});
});
