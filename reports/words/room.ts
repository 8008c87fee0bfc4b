import type { RoomComparison, RoomMeasure, RoomOutcome } from "../../lib/compare/room.ts";
import { WORK_CO2_8_HOURS, WORK_CO2_15_MINUTES } from "../../lib/sources/people.ts";
import { formatPpm } from "./format.ts";

const MEASURES: Readonly<Record<RoomMeasure, string>> = {
	"as it is": "as in the file",
	staggered: "fans staggered",
	"all at once": "fans all at once",
	"exhaust outdoors": "exhaust ducted outdoors",
	"exhaust inside": "exhaust into the room",
	"twice the ventilation": "twice the ventilation",
};

export const ROOM_HEADS = [
	"in the room",
	"room, mean",
	"room, peak",
	"room, swing",
	"chamber, mean",
	"chamber, peak",
];

/** A line of figures for each thing that could be done. */
export const roomRows = ({ outcomes }: RoomComparison): string[][] =>
	outcomes.map((one) => [
		MEASURES[one.measure],
		...[one.roomMeanPpm, one.roomPeakPpm, one.roomRipplePpm, one.chamberMeanPpm, one.chamberPeakPpm].map(
			formatPpm,
		),
	]);

/** Mean of each hour of the day, where anything changes through it. */
export const roomHours = ({ outcomes }: RoomComparison): string[][] =>
	(outcomes[0]!.byHour ?? []).map(({ roomPpm, chamberPpm }, hour) => [
		`${String(hour).padStart(2, "0")}:00`,
		formatPpm(roomPpm),
		formatPpm(chamberPpm),
	]);
export const ROOM_HOUR_HEADS = ["hour from", "room", "chamber"];

export const ROOM_NOTE =
	"All chambers of the room run this schedule. These figures follow the air that chambers and room exchange at each switch; the verdict takes the room's mean air, by the time of day where people come and go.";

/** What people in the room are exposed to, against limits at work. */
export function exposureWords(rooms: readonly RoomComparison[]): string {
	const most = (pick: (outcome: RoomOutcome) => number) =>
		Math.max(...rooms.map(({ outcomes }) => pick(outcomes[0]!)));
	const [shift, short] = [most((one) => one.highest8HoursPpm), most((one) => one.highest15MinutesPpm)];
	const [most8, most15] = [WORK_CO2_8_HOURS.value, WORK_CO2_15_MINUTES.value];
	const isOver = shift > most8 || short > most15;
	return [
		`People in the room: at most ${formatPpm(shift)} as a mean over 8 h and ${formatPpm(short)} over 15 min, whichever schedule runs.`,
		`Limits at work are ${most8} ppm over 8 h and, where they are strictest, ${most15} ppm over 15 min${isOver ? ": this room is over them. Stay out until it is aired, and ventilate more" : ""}.`,
		"A room below them may still be stuffy. Inside a chamber, and where ventilation fails, CO₂ is higher; exhaust that stays inside brings spores too. Local rules and trained people decide.",
	].join(" ");
}
