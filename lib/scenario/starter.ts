/** A commented scenario file to begin with; its figures are invented. */
export const starterScenario =
	(): string => `# A scenario for Lullgust: one fruiting chamber, one fan, and the schedules to compare.
# All figures are invented for this example: put in your own, and measure what you can.
#
# Values carry their unit: 180 L, 6.4 ft3, 70 m3/h, 40 cfm, 17 C, 64 F, 3 min 56 s, 1000 ppm, 90 %.
# An uncertain value is a range or a spread: 60..400 mg/(kg h), 70 m3/h ±10 %. Decimals take a point.
# A line that begins with # is a comment. Take the # away to use the key behind it.

name: My first cabinet
notes: Example with invented figures.

chamber:
  volume: 180 L          # inner volume, with the substrate still in it
  leak: 0.3 /h           # air changes without the fan; default 0.45 /h, which is a guess
  temperature: 18 C      # or a daily swing of plus or minus 2 K: { mean: 18 C, swing: 2 K, warmest: "15:00" }
  humidity: 90 %
  # altitude: 300 m      # or pressure: 97 kPa
  # mixing: 80 %         # 100 % (the default): the fan's air mixes in at once and everywhere
  # stagnant: { share: 30 %, source: 60 %, exchange: 2 m3/h }   # a dead corner, its share of the CO2 source

intake:                  # the air that the fan draws in
  co2: 450 ppm           # a room with people in it has 600 to 1000 ppm
  # temperature: 19 C
  # humidity: 50 %

substrate:               # what gives off the CO2; one, or a list of several with a - before each
  - species: oyster      # the command  lullgust species  shows all of them and their figures
    stage: fruiting
    mass: 4 kg           # fresh (wet) mass
    density: 400 kg/m3   # to take it off the chamber's volume; or volume: 10 L
    # rate: 140 mg/(kg h) ±20 %   # better measured than assumed; the default is a wide prior
    # reference: 18 C             # temperature the rate belongs to
    # q10: 2.4                    # factor on the rate per 10 K
    # inhibition: 5 %             # CO2 at which respiration has fallen to half
    # flush: { rise: 2 d, fall: 6 d, width: 1 d, low: 0.5, high: 1.8 }

fan:
  flow: 40 m3/h          # what really flows, with filter and ducts; less than on the box
                         # or, instead, from its data sheet:  curve: { free-flow: 60 m3/h, shut-off: 40 Pa }
  spin-up: 0.5 s         # time constants; 0 s when you do not know
  coast-down: 1 s
  # count: 1             # equal fans on this timer
  # voltage: 12 V        # this and the next three are on its label or data sheet
  # window: 7.5..13.8 V  # voltages at which it starts and runs
  # current: 0.3 A       # of one fan
  # start-current: 0.45 A
  # filter: { drop: 67 Pa, at: 2.54 m/s, area: 225 cm2 }   # clean; or { kind: MERV 13, area: 225 cm2 }
  # duct: { length: 2 m, diameter: 100 mm, bends: 1 }
  # vent: 80 cm2         # opening on the other side of the chamber
  # flap: 8 Pa           # pressure that opens a flap

# sensor:                # a slow sensor shows peaks too low
#   response: 60 s       # time to 63 % of a step, from its data sheet
#   zone: mixed          # or stagnant, where it hangs
#   offset: 0 ppm        # what it reads too high; below 0, too low
#   accuracy: 50 ppm + 3 %   # what its data sheet promises; a log is judged by it

# timer:                 # what the timer can show, for choosing a setting
#   ranges: [1..999 s by 1 s, 0.1..99.9 s by 0.1 s]
#   shared: false        # true: both periods are set in one range
#   digits: 3            # of its display
#   power-up: off        # state it begins in when power returns
#   type: relay          # or negative-switching (OUT+ and OUT-)
#   contact: 3 A         # for motors; or resistive: 10 A
#   operations: 100000

# supply: { voltage: 12 V, current: 2 A }      # the listed adapter, and how it is wired: for the rig
# wire: { gauge: AWG 20, length: 3 m }         # or 0.5 mm2; length one way
# fuse: 0.63 A

# limits:                # what a chosen setting must keep to
#   burst: 3 s           # shortest on-time, so that the fan comes up to speed
#   pause: 30 s          # shortest off-time
#   cycle: 30 min        # longest cycle
#   life: 18 months      # the contact must last so long
#   quiet: { from: "22:00", to: "07:00", cycle: 20 min }   # no shorter cycle in these hours

target:
  ceiling: 1000 ppm      # default: that of the species at its stage
  # floor: 600 ppm       # only where too little CO2 is wrong as well
  on: peak               # the figure that is held against the ceiling: peak, mean or worst hour

# start: 1500 ppm        # CO2 at the start; default: the intake air

schedules:               # time 0 is midnight
  short and often: { on: 6 s, off: 2 min 54 s }
  rare and long: { on: 2 min, off: 58 min }
  by day and night:
    daily:
      - { from: "07:00", on: 6 s, off: 2 min 54 s }
      - { from: "21:00", on: 8 s, off: 4 min 52 s }
  # never off: continuous
  # from a list: { switches: ["0 s", "4 s", "90 s", "94 s"], starts: off, repeat: 3 min }   # or a CSV file: time_s,fan

# Cautions: mains wiring and fan blades hurt; leave wiring to a licensed electrician and follow local codes.
# CO2 in a closed room and mushroom spores harm people: vent outdoors, and keep a calibrated CO2 alarm in the room.
# A prediction is no measurement: check it with a logger before you trust a crop to it.
`;
