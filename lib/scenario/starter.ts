/**
 * A commented scenario file to begin with; its values are invented.
 *
 * @returns YAML
 * @throws never
 *
 * Source: this project; invented.
 * @example parseScenario(starterScenario()).name // => "My first cabinet"
 */
export const starterScenario =
	(): string => `# A scenario for Lullgust: one fruiting chamber, one fan, and the schedules to compare.
# All figures are invented for this example: replace them by your own, and measure what you can.
#
# Values carry their unit: 180 L, 6.4 ft3, 70 m3/h, 40 cfm, 17 C, 64 F, 3 min 56 s, 1000 ppm, 90 %.
# An uncertain value is a range or a spread: 60..400 mg/(kg h), 70 m3/h ±10 %. Decimals take a point.
# A line that begins with # is a comment. Delete the # to use the key after it.

name: My first cabinet
notes: Example with invented figures.

chamber:
  volume: 180 L          # inner volume, including the substrate
  leak: 0.3 /h           # leakage: air changes without the fan; default 0.45 /h, which is a guess
  temperature: 18 C      # or ± 2 K around a daily mean: { mean: 18 C, amplitude: 2 K, warmest: "15:00" }
  humidity: 90 %
  # altitude: 300 m      # or pressure: 97 kPa
  # mixing: 80 %         # share of the fan's air that mixes in; default 100 % (perfect mixing)
  # stagnant: { share: 30 %, source: 60 %, exchange: 2 m3/h }   # a stagnant zone (dead corner)

intake:                  # the air that the fan draws in
  co2: 450 ppm           # a room with people has 600 to 1000 ppm
                         # or, instead, the room around, whose air is worked out:  room: { volume: 30 m3, ventilation: 30 m3/h, chambers: 6 }
  # temperature: 19 C
  # humidity: 50 %

substrate:               # the source of CO2; one, or a list of several with a - before each
  - species: oyster      # the command  lullgust species  lists all of them with their values
    stage: fruiting
    mass: 4 kg           # fresh (wet) mass
    density: 400 kg/m3   # subtracts it from the chamber volume; or volume: 10 L
    # rate: 140 mg/(kg h) ±20 %   # measure it if you can; the default range is wide
    # reference: 18 C             # temperature of that rate
    # q10: 2.4                    # factor on the rate per 10 °C
    # inhibition: 5 %             # CO2 that halves respiration
    # flush: { rise: 2 d, fall: 6 d, width: 1 d, low: 0.5, high: 1.8 }

fan:
  flow: 40 m3/h          # delivered flow, with filter and ducts; less than on the box
                         # or, instead, from its data sheet:  curve: { free-flow: 60 m3/h, shut-off: 40 Pa }
  spin-up: 0.5 s         # spin-up and coast-down time constants; 0 s when not known
  coast-down: 1 s
  # count: 1             # identical fans on this timer
  # voltage: 12 V        # this and the next three are on the label or data sheet
  # voltage-range: 7.5..13.8 V   # in which it starts and runs
  # current: 0.3 A       # of one fan
  # starting-current: 0.45 A
  # filter: { drop: 67 Pa, at: 2.54 m/s, area: 225 cm2 }   # when clean; or { kind: MERV 13, area: 225 cm2 }
  # duct: { length: 2 m, diameter: 100 mm, bends: 1 }
  # vent: 80 cm2         # opening opposite the fan
  # flap: 8 Pa           # pressure that opens the flap

# sensor:                # a slow sensor reads peaks too low
#   response: 60 s       # response time to 63 % of a step (t63), from the data sheet
#   zone: mixed          # zone of the sensor: mixed or stagnant
#   offset: 0 ppm        # positive: it reads high
#   accuracy: 50 ppm + 3 %   # from the data sheet; a log is judged by it

# timer:                 # what the timer can show, needed to choose a setting
#   ranges: [1..999 s by 1 s, 0.1..99.9 s by 0.1 s]
#   shared: false        # true: on-time and off-time share one range
#   digits: 3            # of the display
#   power-up: off        # state at power-up
#   type: relay          # or negative-switching (OUT+ and OUT-)
#   contact: 3 A         # contact rating for motors; or resistive: 10 A
#   operations: 100000   # rated switching operations of the contact
#   standby-current: 20 mA   # of the board while the fan is off

# supply: { voltage: 12 V, current: 2 A }      # the listed adapter and its cable, for the command rig
# wire: { gauge: AWG 20, length: 3 m }         # or 0.5 mm2; length one way
# fuse: 0.63 A

# water:                 # what evaporates, is given and condenses: with it, the humidity is worked out
#   evaporation: 0.6 m3/h    # crop and wet surfaces: the air that would leave saturated; default by species and stage
#                          # or { surface: casing, area: 0.5 m2 }; also of fruit bodies or open water
#   humidifier: { output: 100 g/h, after-burst: 6 s }   # or on: 10 s, off: 5 min; or below: 85 %, until: 90 %, delay: 5 s
#   walls: { transmittance: 5.3 W/(m2 K), room: 14 C }  # thin plastic 5.3, twin-wall 2.8, 5 cm of foam 0.6: they sweat in a cold room

# limits:                # limits on the setting to be chosen
#   burst: 3 s           # minimum on-time, so that the fan reaches full speed
#   pause: 30 s          # minimum off-time
#   cycle: 30 min        # maximum cycle time
#   life: 18 months      # required contact life
#   quiet: { from: "22:00", to: "07:00", cycle: 20 min }   # minimum cycle time in these hours

target:
  ceiling: 1000 ppm      # default: that of species and stage
  # floor: 600 ppm       # only if too little CO2 is harmful as well
  on: peak               # the value that must stay under the ceiling: peak, mean or worst hour
  # humidity: { floor: 85 %, on: trough, ceiling: 98 % }   # to be held as well; on: trough (the lowest) or mean
  # confidence: 90 %     # chance with which choose is to meet it
  # An example of several limits, ceiling: { peak: 1200 ppm, worst hour: 1000 ppm }, floor: { trough: 600 ppm }

# disturbances: { flush: off, intake: 0..200 ppm, warm-day: 0..3 K }   # what may happen in service, for choose

# start: 1500 ppm        # CO2 at the start; default: that of the intake air

schedules:               # time 0 is midnight
  short and often: { on: 6 s, off: 2 min 54 s }
  rare and long: { on: 2 min, off: 58 min }
  by day and night:
    daily:
      - { from: "07:00", on: 6 s, off: 2 min 54 s }
      - { from: "21:00", on: 8 s, off: 4 min 52 s }
  # never off: continuous
  # by a CO2 sensor: { above: 1000 ppm, until: 900 ppm, sensor: { response: 60 s, every: 10 s }, shortest: { on: 5 s, off: 60 s } }
  # from a list: { switches: ["0 s", "4 s", "90 s", "94 s"], starts: off, repeat: 3 min }   # or a CSV file: time_s,fan

# Cautions: mains wiring and fan blades injure; leave wiring to a licensed electrician and follow local codes.
# Keep plugs and sockets out of a humidifier's mist. Walls that stay wet grow mould.
# CO2 in a closed room and mushroom spores harm people: vent outdoors, and keep a calibrated CO2 alarm in the room.
# A prediction is not a measurement: check it with a logger before you rely on it.
`;
