/** Invented; "often" holds the ceiling, "rarely" does not. */
export const cabinet = `name: Test cabinet
chamber: { volume: 420 L, leak: 0.3 /h, temperature: 17 C }
intake: { co2: 480 ppm }
substrate: { species: oyster, mass: 8 kg, rate: 150 mg/(kg h), reference: 17 C }
fan: { flow: 70 m3/h }
target: { ceiling: 1200 ppm, on: peak }
schedules:
  rarely: { on: 60 s, off: 59 min }
  often: { on: 4 s, off: 236 s }
`;

/** The same with a ceiling that no schedule holds. */
export const strict = cabinet.replace("1200 ppm", "700 ppm");
