/** What every fit rests on. */
export const PREMISES = [
	"The air is well mixed at every moment, in the whole chamber or in each of its two zones.",
	"Air enters with the CO₂ concentration that the scenario gives for the intake, constant over the log. What is known of it and of the sensor is in the errors.",
	"All bursts deliver the same flow, and leakage is the same with the fan on and off.",
	"The sensor responds with one time constant and has the same offset at every concentration.",
	"What is held (volume, mass, intake, sensor, fixed values) is in the standard errors as well as it is known: a range or ± of the file or of the option, else a usual spread (common practice, no source).",
	"CO₂ output is constant over the log, or follows temperature and stage; with --days it differs from day to day. The temperature is that of the log where it was logged inside, else that of the scenario.",
	"Time by the clock runs without a jump from the first sample on: neither the day's warmth nor a timer follows a change of the clocks.",
];

/** What a test of counted bursts rests on beside it. */
export const BURST_PREMISES = [
	"Crop and substrate were out while the bursts were counted: nothing in the chamber produced CO₂.",
	"The fan spins up and coasts down exponentially. Readings taken while it ran are excluded, so this affects only the on-time lost to spin-up.",
];
