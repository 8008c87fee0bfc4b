/** What can be wrong with a wiring. */
export type WiringCode = keyof typeof TEXTS;

/** `stop`: do not power it. `attention`: it works, yet something wants thought. */
export type Severity = "stop" | "attention";

/** A fault, said so that whoever holds the screwdriver can mend it. */
export interface WiringFault {
	readonly code: WiringCode;
	readonly severity: Severity;
	readonly parts: readonly string[];
	readonly nets: readonly string[];
	readonly reason: string;
	readonly remedy: string;
}

/** A fault before it has words: the code, whom it befalls, and what the words need. */
export interface WiringFinding {
	readonly code: WiringCode;
	readonly parts: readonly string[];
	readonly nets: readonly string[];
	/** Terminals, a way or ratings, in words. */
	readonly what?: string;
	readonly hint?: string;
	readonly fuses?: readonly string[];
	/** What still has voltage although the fuses are out. */
	readonly fed?: readonly string[];
	/** A timer that switches the minus is on board. */
	readonly isLowSide?: boolean;
	/** The diode lies in the way of a current instead of across a load. */
	readonly isInSeries?: boolean;
	/** Less than the rule asks for, yet not less than the load. */
	readonly isMild?: boolean;
}

/** "A", "A and B", "A, B and C" */
export const joinNames = (names: readonly string[]): string =>
	names.length < 2 ? (names[0] ?? "") : `${names.slice(0, -1).join(", ")} and ${names[names.length - 1]}`;

const all = (words: readonly string[], one: string, many: string): string =>
	`${joinNames(words)} ${words.length === 1 ? one : many}`;

interface Words {
	readonly severity: Severity;
	readonly reason: string;
	readonly remedy: string;
}

const stop = (reason: string, remedy: string): Words => ({ severity: "stop", reason, remedy });
const attention = (reason: string, remedy: string): Words => ({ severity: "attention", reason, remedy });

const TEXTS = {
	"unknown-pin": ({ what, nets, hint }) =>
		stop(
			`Net “${joinNames(nets)}” names ${what}, which no part has.`,
			`${hint ?? ""} Write part, dot, terminal, as in “FAN.+”.`.trim(),
		),
	"pin-on-two-nets": ({ what, nets }) =>
		stop(
			`${what} is listed in nets ${joinNames(nets.map((net) => `“${net}”`))}: one terminal joins them, and they would be one net.`,
			"Keep it in the net where the wire really goes; if wires of both end there, make the two one net.",
		),
	"no-supply": () =>
		stop(
			"There is no supply among the parts.",
			"Add the plug-in adapter with its voltage and rated current.",
		),
	"two-supplies": ({ parts }) =>
		stop(
			`There is more than one supply: ${joinNames(parts)}. One can drive current into the other.`,
			"Use a single adapter that carries everything, or describe each circuit as a wiring of its own.",
		),
	floating: ({ what }) =>
		attention(
			`Nothing is connected to ${what}.`,
			"Connect it, or take the part out of the list; only NO and NC of a timer may stay open.",
		),
	"short-at-rest": ({ what, hint = "" }) =>
		stop(
			`Short circuit as soon as power comes on: ${what}, with nothing in between that takes current.`,
			`Leave the power off. Nothing but fans and the timer's own supply may lie between plus and minus.${hint}`,
		),
	"short-when-on": ({ what, hint = "" }) =>
		stop(
			`Short circuit each time the timer turns on: ${what}, with nothing in between that takes current.`,
			`Leave the power off. The switched side of the contact goes to the fan, never to the other pole of the supply.${hint}`,
		),
	"no-fuse": () =>
		stop(
			"There is no fuse: in a short circuit the wire becomes the fuse.",
			"Put a fuse into the plus lead, first thing after the supply.",
		),
	"timer-reversed": ({ parts }) =>
		stop(
			`${all(parts, "gets", "get")} the supply the wrong way round; many boards do not survive that. What the fans do cannot be told.`,
			"Swap its two supply leads: V+ to the fused plus, V− to the minus.",
		),
	"timer-dead": ({ parts }) =>
		stop(
			`${all(parts, "gets", "get")} no power at rest and can never switch.`,
			"Connect V+ to the fused plus and V− to the minus, straight and not through a contact.",
		),
	"timer-self-cut": ({ parts }) =>
		stop(
			`${all(parts, "cuts its", "cut their")} own power when turning on, falls back and starts again: the relay chatters.`,
			"Take V+ from the fused plus in front of the contact, not from behind it.",
		),
	"timer-undervoltage": ({ parts }) =>
		stop(
			`${all(parts, "gets", "get")} less than 85 % of the supply voltage: something lies in series with it.`,
			"Connect V+ straight to the fused plus and V− straight to the minus.",
		),
	"fan-reversed": ({ parts }) =>
		stop(
			`${all(parts, "gets", "get")} plus and minus the wrong way round; most such fans then stand still, some are damaged.`,
			"Swap the two leads of the fan.",
		),
	"fan-undervoltage": ({ parts }) =>
		stop(
			`${all(parts, "gets", "get")} only part of the supply voltage, as fans in series do, and may not start.`,
			"Connect fans side by side: each + to the switched plus, each − to the minus.",
		),
	inverted: ({ parts }) =>
		stop(
			`${all(parts, "runs", "run")} during the off-time and rests during the on-time.`,
			"Move the wire from NC to NO.",
		),
	"always-on": ({ parts, isLowSide }) =>
		isLowSide
			? stop(
					`${all(parts, "runs", "run")} in both states. This board switches the minus: once OUT− or the fan's − is joined to the supply's −, its contact has no say.`,
					"Fan + to OUT+, fan − to OUT−, and nothing else on OUT−: here the minus leads are not joined.",
				)
			: stop(
					`${all(parts, "runs", "run")} in both states: no contact lies in the way.`,
					"Feed the fan's + from NO, and COM from the fused plus.",
				),
	"never-on": ({ parts }) =>
		stop(
			`${all(parts, "gets", "get")} no voltage in either state.`,
			"Follow its leads: one must reach the minus and the other, through NO and COM (or OUT+ and OUT−), the fused plus.",
		),
	"diode-reversed": ({ parts, isInSeries }) =>
		isInSeries
			? stop(
					`${all(parts, "lies", "lie")} in the way of a current. A flyback diode lies across a fan; this check knows no other use and takes it as open.`,
					"Put it across the fan, ring (cathode, K) to fan +; if it is meant to guard against wrong polarity, leave it out of this list.",
				)
			: stop(
					`${all(parts, "conducts", "conduct")} and shorts the supply, for the ring is on the minus side.`,
					"Turn it round: ring (cathode, K) to fan +.",
				),
	"fuse-bypassed": ({ fuses = [], fed = [] }) =>
		stop(
			`With ${joinNames(fuses)} out, ${all(fed, "still gets", "still get")} voltage: a current goes past the fuse.`,
			"Put the fuse first: only the fuse on the supply's +, and everything else behind it.",
		),
	"fuse-in-return": ({ fuses = [], fed = [] }) =>
		stop(
			`${all(fuses, "lies", "lie")} in the minus lead: when it blows, ${joinNames(fed)} stands still but keeps the supply's plus, and a lead that touches metal is not protected.`,
			"Move the fuse into the plus lead, first thing after the supply.",
		),
	"fuse-small": ({ parts, what, isMild }) =>
		(isMild ? attention : stop)(
			`${joinNames(parts)}: ${what}; less than 1.25 times the load blows sooner or later, and then no fan runs.`,
			"Take the next larger standard fuse, as long as the wire stands it.",
		),
	"fuse-above-wire": ({ parts, what }) =>
		stop(
			`${joinNames(parts)}: ${what}; the wire gets too hot before the fuse blows.`,
			"Take a smaller fuse that still carries the load, or thicker wire.",
		),
	"supply-margin": ({ what }) =>
		attention(
			`${what}: carried, yet above the 80 % that leaves a margin for the start and for a warm place.`,
			"Take the next larger adapter when one is bought anyway.",
		),
	"supply-overload": ({ what }) =>
		stop(
			`${what}: the adapter gives way, and the timer may start anew at each burst.`,
			"Take a larger adapter.",
		),
	"contact-overload": ({ parts, what }) =>
		stop(
			`${joinNames(parts)}: ${what}; a contact that welds leaves the fan on for good.`,
			"Share the fans among several timers, or take one whose inductive rating carries them.",
		),
	"fan-voltage": ({ what }) => stop(`${what}.`, "Fan, timer and supply must be for the same voltage."),
	"timer-voltage": ({ parts, what }) =>
		stop(`${joinNames(parts)}: ${what}.`, "Fan, timer and supply must be for the same voltage."),
} satisfies Record<string, (finding: Omit<WiringFinding, "code">) => Words>;

/** Puts a finding into words. */
export const faultOf = (finding: WiringFinding): WiringFault => {
	const { code, parts, nets } = finding;
	const words: (finding: Omit<WiringFinding, "code">) => Words = TEXTS[code];
	return { code, parts, nets, ...words(finding) };
};
