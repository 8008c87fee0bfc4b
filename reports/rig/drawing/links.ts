import { joinedBy } from "../../../lib/rig/wiring/circuit/circuit.ts";
import { textWidth } from "../../charts/textwidth.ts";
import {
	LINK_STEP_PX,
	NAME_INSET_PX,
	NAME_ROOM_PX,
	type PlacedPart,
	type PlacedTerminal,
	type Point,
	TEXT_PX,
} from "./layout.ts";
import { typeset } from "./partwords.ts";

/** What a part joins inside: a fuse, a switch, a contact. */
export interface DrawnLink {
	readonly part: string;
	readonly points: readonly Point[];
	readonly isClosed: boolean;
	readonly isLive: boolean;
}

/** From the edge of a box to where a line may start beside a terminal's name [px]. */
const afterName = ({ name }: PlacedTerminal): number =>
	NAME_INSET_PX + textWidth(typeset(name), TEXT_PX, true) + 4;

/** Lines inside a box, from the name of one terminal to that of the other, beside each other and clear of the words. */
export function linksOf(
	{ name, part, rect, terminals }: PlacedPart,
	energisedTimers: ReadonlySet<string>,
	isLiveAt: (terminal: PlacedTerminal) => boolean,
): DrawnLink[] {
	const closed = joinedBy(name, part, { energisedTimers });
	const possible = [
		...joinedBy(name, part, { energisedTimers: new Set([name]) }),
		...joinedBy(name, part, { energisedTimers: new Set() }),
	];
	const pairs = [...new Map(possible.map((pair) => [pair.join(), pair])).values()];
	const at = (terminal: string): PlacedTerminal => terminals.find((t) => t.name === terminal)!;
	const inset = ({ side }: PlacedTerminal, by: number): number =>
		side === "left" ? rect.x + by : rect.x + rect.width - by;
	return pairs.map(([a, b], place) => {
		const [from, to] = [at(a), at(b)];
		const bend = inset(from.side === to.side ? from : to, NAME_ROOM_PX + (place + 1) * LINK_STEP_PX);
		// Across the box the line runs in the lower row, which has no words in its middle.
		const [low, high] = from.y >= to.y ? [from, to] : [to, from];
		const turn = from.side === to.side ? bend : inset(high, NAME_ROOM_PX + (place + 1) * LINK_STEP_PX);
		const isClosed = closed.some((pair) => pair.join() === `${a},${b}`);
		return {
			part: name,
			points: [
				{ x: inset(low, afterName(low)), y: low.y },
				{ x: turn, y: low.y },
				{ x: turn, y: high.y },
				{ x: inset(high, afterName(high)), y: high.y },
			],
			isClosed,
			isLive: isClosed && isLiveAt(to),
		};
	});
}
