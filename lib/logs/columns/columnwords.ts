import { DAY } from "../../time.ts";
import type { ChannelKind } from "../log.ts";

/** What the header of a column says, in one spelling: small letters, no underscores, CO2 for its subscript. */
export const plainWords = (header: string): string =>
	header
		.normalize("NFKC")
		.replace(/([a-z]{2})([A-Z])/g, "$1 $2")
		.toLowerCase()
		.replace(/[_/.,;:()[\]{}|<>"'#*=-]+/g, " ")
		.replace(/\s+/g, " ")
		.trim();

// \b knows no letters beyond ASCII, so words of other languages stand without it.
const CO2 =
	/co ?2|co²|carbon ?dioxide|kohlen(?:stoff)?dioxid|dioxyde de carbone|gaz carbonique|di[oó]xido de carb|anidride carbonica|diossido di carbonio|dwutlenek węgla|ko[oł]ldioxid|koldioxid|kool(?:stof)?(?:dioxide|zuur)|hiilidioksidi|oxid uhličitý|углекисл|диоксид углерода|二氧化碳|二酸化炭素|이산화탄소/;
const NOT_A_READING =
	/absor(?:ptance|ptivity|bance|ption)|voltage|spannung|signal|slope|steigung|offset|drift|\b(?:sd|std|stdev|stderr|se|sem|var|variance|rsd|cv|rms|dev|deviation|qc|quality|valid|diag|gain|span|calibration|diff|delta|flux|rate|change|trend|raw|counts?|error|s d)\b|alarm|alert|warn|status|state|flag|limit|set ?point|target|soll|grenz|consigne|seuil|threshold|(?<!\d )\b(?:min|max)(?:imum)?\b|raw count|error|fehler/;
const NOT_A_FAN = /set ?point|soll|target|limit|heat|heiz|light|licht|lamp|humid|mist|nebel|pump/;
const ESTIMATED_CO2 = /\be ?co ?2|\bco ?2 ?eq|estimated/;
const FAN =
	/\bfan|lüfter|luefter|ventilat(?:or|eur)\b|ventilador|ventola|wentylator|fläkt|tuuletin|вентилятор|风扇|換気|ファン|\brelay\b|relais|\brelé\b/;
const DEW = /dew|taupunkt|tau ?p|ros[ée]e|roc[ií]o|rugiada|orvalho|wet bulb|feuchtkugel/;
const HUMIDITY =
	/humid|\br ?h\b|% ?r ?h|feuchte|luftfeucht|humedad|umidit|umidade|vochtig|fuktighet|fukt|wilgotno|kosteus|vlhkost|влажн|湿度|습도/;
const ABSOLUTE = /absolut|g m3|g m³|g kg|mixing/;
const TEMPERATURE =
	/temp|celsius|fahrenheit|kelvin|°|\bdeg ?[cf]\b|lämpö|teplota|темпер|温度|気温|온도|\bt ?[cf]\b/;
const INTAKE =
	/intake|inlet|supply|outdoor|outside|ambient|fresh|zuluft|außen|aussen|draussen|draußen|entr[ée]e|ext[ée]r|entrada|ingresso|buiten|外|внешн|наружн/;
const CHAMBER =
	/chamber|tent|inside|indoor|cabinet|room|fruit|grow|tub\b|box\b|kammer|innen|raum|zelt|schrank|chambre|int[ée]r|c[áa]mara|camera|interno|binnen|室内|内|внутр/;

/** Units behind a name in which something else of a CO2 sensor is told. */
const OTHER_UNIT =
	/(?:[\s_([]m?v|volts?|[([](?:m?a|m?w|hz|s|min|h))[\s)\]]*(?: (?:avg|ave|mean|smp|inst|mittel)\w*)?$/i;

/** What a column holds by its header; `estimated CO2` is derived from other gases. */
export function kindOf(header: string): ChannelKind | "estimated CO2" | null {
	const words = plainWords(header);
	if (FAN.test(words) && !CO2.test(words)) return NOT_A_FAN.test(words) ? null : "fan";
	if (NOT_A_READING.test(words)) return null;
	if (ESTIMATED_CO2.test(words)) return "estimated CO2";
	if (CO2.test(words)) {
		if (ppmPerUnit(header) === 1) return "co2";
		if (TEMPERATURE.test(words)) return "temperature";
		return HUMIDITY.test(words) || /press|druck/.test(words) || OTHER_UNIT.test(header) ? null : "co2";
	}
	if (DEW.test(words)) return null;
	if (HUMIDITY.test(words)) return ABSOLUTE.test(words) ? null : "humidity";
	if (TEMPERATURE.test(words)) return "temperature";
	return null;
}

/** Whether a column of ppm without a word for CO2 names another gas. */
export const isOtherGas = (words: string): boolean =>
	/voc|\bh ?2 ?o\b|water|wasser|\bco\b|\bch ?4|methan|\bnh ?3|ammoni|\bh ?2 ?s|\bo ?3\b|ozon|\bno ?[x2]?\b|\bso ?2|ethyl|hydrogen/.test(
		words,
	);

/** Where a CO2 column hangs by its header. */
export const placeOf = (words: string): "chamber" | "intake" | null =>
	INTAKE.test(words) ? "intake" : CHAMBER.test(words) ? "chamber" : null;

/** ppm of one unit of a CO2 column by its header; null when it names none, NaN for a unit that is none of these. */
export function ppmPerUnit(header: string): number | null {
	const text = header.normalize("NFKC").replace("μ", "µ").toLowerCase();
	if (/ppm/.test(text)) return 1;
	if (/ppb/.test(text)) return 0.001;
	if (/‰|per ?mille?|promille/.test(text)) return 1000;
	if (/%|vol|percent|prozent|pour ?cent|por ?ciento|procent|(?:^|[^a-z])(?:pct|perc)(?:[^a-z]|$)/.test(text))
		return 10_000;
	if (/[µu]mol[ ./]*(?:co2[ ./]*)?mol/.test(text)) return 1;
	if (/mmol[ ./]*(?:co2[ ./]*)?mol/.test(text)) return 1000;
	if (/mg ?\/|mg m|mmol|g ?\/ ?m|µg|kpa|hpa|mbar|\bpa\b/.test(text)) return Number.NaN;
	return null;
}

/** What CO2 of a chamber or of outdoor air can be at its median [ppm]. */
export const PLAUSIBLE_PPM = [250, 50_000] as const;

export const isPlausible = (ppm: number): boolean => ppm >= PLAUSIBLE_PPM[0] && ppm <= PLAUSIBLE_PPM[1];

/** The unit of a temperature column by its header, and from it to °C. */
export function temperatureUnit(header: string): {
	readonly unit: "°C" | "°F" | "K";
	readonly celsius: (value: number) => number;
} {
	const text = header.normalize("NFKC").toLowerCase();
	if (/°\s*f|℉|fahrenheit|(?:^|[^a-z])(?:deg ?)?f(?:[^a-z]|$)/.test(text))
		return { unit: "°F", celsius: (value) => ((value - 32) * 5) / 9 };
	if (/kelvin|[[(_ ]k[\])]?$/.test(text)) return { unit: "K", celsius: (value) => value - 273.15 };
	return { unit: "°C", celsius: (value) => value };
}

/** Whether a header speaks of time; of a unit of time alone, unless it is that of a rate. */
export const saysTime = (words: string): boolean =>
	/time|zeit|\btid\b|tijd|heure|\bhora|\bora\b|\bdate|datum|fecha|\bdata\b|aika|czas|epoch|unix|stamp|elapsed|verstrich|laufzeit|dauer|uptime|millis|时间|日期|時刻|日時|время|дата/.test(
		words,
	) ||
	/^(?:[tx] )?(?:s|sec|secs|seconds?|sek|sekunden|min|minutes?|minuten|h|hours?|std|stunden|days?|tage)(?: (?:utc|gmt|local)\b.*)?$/.test(
		words,
	);

export const saysRecord = (words: string): boolean =>
	/^(?:no|nr|n|num|number|nummer|rec|recno|record.*|index|idx|id|entry|sample.*|row|zeile|line|lfd.*|obs.*|count|point|punkt)$/.test(
		words,
	);

/** Seconds of one unit of an elapsed time by its header; null when it names none. */
export function secondsPerUnit(words: string): number | null {
	if (/\bms\b|milli/.test(words)) return 0.001;
	if (/\b(?:min|mins|minutes?|minuten|minuti|minutos)\b/.test(words)) return 60;
	if (/\b(?:h|hr|hrs|hours?|std|stunden|heures?|horas?|ore)\b/.test(words)) return 3600;
	if (/\b(?:d|days?|tage|jours?)\b/.test(words)) return DAY;
	if (/\b(?:s|sec|secs|seconds?|sek|sekunden|secondes?|segundos|secondi)\b/.test(words)) return 1;
	return null;
}

const UNIT_CELL =
	/^(?:|-|–|[[(<{]?(?:ppmv?|ppb|%|‰|vol\.? ?-? ?%|% ?r\.?h\.?|%rf|rh|°\s*[cfk]?|deg\.? ?[cf]|[cfk]|℃|℉|celsius|s|sec|seconds?|min|h|d|ms|utc|gmt|hpa|kpa|pa|mbar|v|mv|a|ma|w|lux|rpm|0\/1|on\/off|bool|date|time|yyyy.*|dd.*|mm.*|hh.*)[\])>}]?)$/i;

/** Whether a header cell holds a unit alone, or nothing. */
export const isUnitCell = (text: string): boolean => UNIT_CELL.test(text.normalize("NFKC").trim());

const ON = /^(?:on|true|yes|ein|an|ja|wahr|running|run|marche|oui|vrai|s[ií]|acceso|aan|på|high)$/i;
const OFF =
	/^(?:off|false|no|aus|nein|falsch|stopped|stop|idle|arr[êe]t|non|faux|apagado|spento|uit|av|low)$/i;

/** 1 or 0 for a word such as `on` or `aus`; NaN for another. */
export const fanWord = (text: string): number => {
	const word = text.trim();
	return ON.test(word) ? 1 : OFF.test(word) ? 0 : Number.NaN;
};
