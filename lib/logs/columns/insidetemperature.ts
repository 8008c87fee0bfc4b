import { InputError } from "../../errors.ts";
import type { Channel, Log } from "../log.ts";
import { placeOf, plainWords } from "./columnwords.ts";

/** Thermometers in something else than the air. */
const NOT_AIR =
	/substrat|compost|kompost|\bblocks?\b|\bcore\b|\bkern|\bbed\b|\bbeet\b|soil|boden|water|wasser|\bwall\b|\bwand\b|surface|oberfl|\bcpu\b|\bmcu\b|\bchip\b|\bboard\b|batter|akku|motor|device|gerät/;

/**
 * The temperature of the chamber's air in a log: the one that is asked for, else the only column whose header does not say that it
 * was taken elsewhere.
 * @returns the column, null where none or more than one may be meant; these by name
 * @throws InputError when no column has the name that is asked for
 */
export function findInsideTemperature(
	{ channels, fileName }: Pick<Log, "channels" | "fileName">,
	asked?: string,
): { readonly channel: Channel | null; readonly doubtful: readonly string[] } {
	const all = channels.filter(({ kind }) => kind === "temperature");
	if (asked !== undefined) {
		const wanted = asked.trim().toLowerCase();
		const named =
			all.find(({ name, column }) => name.toLowerCase() === wanted || `column ${column + 1}` === wanted) ??
			all.find(({ name }) => wanted !== "" && name.toLowerCase().includes(wanted));
		if (named !== undefined) return { channel: named, doubtful: [] };
		const list = all.map(({ name }) => `, or "${name}"`).join("");
		throw new InputError([
			{
				file: fileName,
				path: "temperature",
				message: `needs "log", "scenario" or a temperature column, got "${asked}"; there are log, scenario${list}`,
			},
		]);
	}
	const inAir = all.filter(({ name }) => {
		const words = plainWords(name);
		return placeOf(words) !== "intake" && !NOT_AIR.test(words);
	});
	const inside = inAir.filter(({ name }) => placeOf(plainWords(name)) === "chamber");
	const meant = inside.length > 0 ? inside : inAir;
	return meant.length === 1
		? { channel: meant[0]!, doubtful: [] }
		: { channel: null, doubtful: meant.map(({ name }) => name) };
}
