"""The text of the sheet that a builder starts from: its lines, and how they are laid out.

Between ``@name`` and ``@end`` stands a section that some vans have; of any other it stays as a
comment. ``$word`` is filled in; what follows ``##`` is a comment, put under its neighbours'. What
does not belong here: what is filled in (new_sheet.py), and reading a sheet (reading.py).
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from string import Template

COLUMN = 28  # of a comment beside a value

_TEXT = """\
# yaml-language-server: $$schema=$schema
# (The line above is for editors that complete and check YAML; this tool passes it over.)
# $said
# A van, a place and a night. What follows a # is a note, or a line to take up by deleting its #;
# every other line counts as yours. Change what differs, take out loads that yours has not, and
# leave out what you do not know: that is guessed, and the answer says which guesses matter most.
# Lengths, areas and so on need their unit, in either system: 70 in, 14 ft 6 in, 1.78 m.

name: My van
# note: what it is for            # your own words, on each answer and page
# prepared by: your name or shop        # both stand on the page that `--page` makes
# prepared for: your client
# library: my-library.yaml  # a file of your own materials, stacks, bodies, equipment and loads,
#                           # which this sheet then takes by name; `vanclimate library` lists rows
site: $site ## a shipped place, a weather file, or a fetched one; or in full:
# site:
#   place: Moab, Utah       # vanclimate weather fetch 'Moab, Utah' --years 2017-2023
#   years: 2017-2023        # typical, or real years; every night of each counts
#   elevation: 4000 ft      # where the van stands: air cools by 6.5 K a kilometre
#   terrain: open           # water, open, wooded, town: what the wind crosses
#   ground: gravel          # asphalt, concrete, gravel, grass, sand, snow: what the van stands on
#   night air: none         # none, cool hollow, paved lot, or such as -2 K against the weather
#   gaps: refuse            # of a file; fill: gaps to 3 h become straight lines, and are said
#   design week:            # in place of weather: made-up clear days, as many lows as highs
#     {lows: [70 F, 72 F, 71 F], highs: [92 F, 96 F, 94 F], humidity: 60 %, latitude: 38,
#      date: 15 July}       # design day: one low, one high
month: $month ## or, in its place, stay: 12 July to 26 July
night: $night ## of the month: hottest, coldest, typical; or a day such as 07-15
heading: unknown ## the way its nose points: S, SW, 210 deg; unknown = the worst of eight
shade: none ## none, light tree, heavy tree, canopy, or a share such as 40 %
units: us ## units of the answer: us or metric

body: ## the living space, measured inside
  kind: $kind ## short, medium, long or extended, with a standard, medium or high
  # ## roof; or pop-top van, box trailer, small truck body
  length: $length ## its kind's usual sizes; put those of your tape measure in their place
  width: $width
  height: $height
  colour: white ## white, silver, grey, red, blue, black and so on; or a share absorbed
  rib share: $ribs ## share of the sides that are ribs and pillars; or, in its place:
  # ## of a box trailer or truck body its panels' edge profiles
  # ribs: {kind: hat, depth: 30 mm, width: 40 mm, spacing: 16 in}  # hat, C, Z, box or timber;
  # ## then also sheet: 20 gauge, cover: 12 mm (foam over them), filled: yes,
  # ## strip: rubber 3 mm, mastic: 3 mm, lined: no, and roof ribs, floor ribs
  leakage: ordinary ## tight, ordinary, leaky; or an area such as 60 cm2

stacks: ## layers from the outside in: a material and a thickness
$stacks
  # also polyiso, PIR, cork and so on: `vanclimate library materials` lists all by name
  # rear: [steel 20 gauge, R-13 glass wool in 2 in, vapour barrier film, air gap 1/2 in, ply 6 mm]
  #     # 'in 2 in': a batt squeezed; film, foil, kraft facing and paint need no thickness;
  #     # vented air gap: to outdoors; cabin-vented air gap: behind a slatted lining
  # front, rear, left and right are built as the walls unless they have a line of their own

@stacks to try
stacks to try: ## for `vanclimate stacks`: between your own skin and lining, on roof
  - sheep wool 2-1/2 in ## and walls; left out, the library's ordinary ones are tried
  - {name: foam and foil, layers: [sprayed foam 2 in, foil, air gap 1/2 in], rib cover: 1/2 in}
  # ## also roof, walls, floor: layers of that side; whole: yes
@end
@prices
prices: ## your own, in any money; `vanclimate stacks` adds them up
  sprayed foam: 2.10 USD per board foot     # or per m2, per ft2, per m2 of 50 mm, per m3
  sheep wool: 1.60 per ft2
@end

# Rooms with air of their own; without these lines cab and garage count with the living space:
@cab
cab: {divider: curtain, drawn: night} ## or thick curtain, bulkhead, open
@end
@garage
garage: {length: 50 in, height: 30 in} ## the hold under the bed, at the rear
@end
@pop top
pop top: {raised: night, height: 20 in} ## a roof that lifts on fabric sides
@end

$windows

people:
  sleepers: 2
  bedtime: 22:30
  waking: 07:00 ## earlier than bedtime is the next morning
  home: 18:00 to 09:00 ## when somebody is in the van
  limit: 79 F ## the warmest they sleep well in, air and walls together
  # least: 61 F ## the coldest, with bedding for it

fans:
  count: 1 ## roof fans
  flow: 900 CFM ## each, free air, from its data plate
  power: 30 W ## each
  by day: $fan ## on or off: whether they run while nobody is there
  # shut off pressure: 0.2 in wg          # against which it moves nothing; or its whole curve:
  # curve: [0 Pa at 900 CFM, 30 Pa at 500 CFM, 60 Pa at 0 CFM]    # in place of flow and pressure
  # open window: 150 in2 ## left open for its air while it runs; none without windows
  # arrangement: out ## or, with two fans or more: one in one out
  bed fan speed: 0.8 m/s ## breeze at the bed
  bed fan power: 6 W

vents: {high: 4 in2, low: 2 in2}    # openings that cannot be shut, free area; or none
@doors
doors: {area: 20 ft2, height: 67 in, openings per hour: 2, open for: 20 s}
@end
@appliances
appliances: none ## on gas: none, room sealed, open burner
@end

fresh air: 7.5 L/s ## outdoor air for each sleeper, all night

@air conditioner
air conditioner: ## leave the section out if there is none
  kind: rooftop AC, 13.5 kBTU/h class
  capacity: 13.5 kBTU/h ## at the rated point, from the data plate
  power: 1300 W ## the same, blower included
  airflow: 320 CFM
  blower power: 110 W
  blower: automatic ## automatic: stops with the compressor; or continuous
  setpoint: 75 F
  by day: off ## or, to keep the van cool: hold 80 F
  # speed: variable ## fixed, or variable: it slows down to its floor, such as 30 %
  # table: [13.5 kBTU/h and 1300 W at 95 F and 67 F, 12 kBTU/h and 1500 W at 110 F and 67 F]
  # ## in place of capacity and power: at outdoor air and indoor wet bulb
  # heats: yes ## a heat pump: also heating capacity, heating power at 47 F,
  # ## heating setpoint, heating when, heats down to
  # condenser: roof ## what it breathes: outside, roof, underneath; or, of a portable unit,
  # hose: one ## one or two
  # soft start: yes
@end

@heater
heater: ## burns fuel outside the cabin's air; left out, there is none
  fuel: diesel ## diesel, petrol, propane
  output: 2 kW ## at full, from the data plate; and the least it burns at:
  floor: 900 W
  setpoint: 64 F
  when: home ## home, night, always, never, or times; at other times:
  otherwise: hold 45 F ## or off
  tank: 2.5 gal ## or supply: main tank
  # kind: hydronic ## air, or hydronic: coolant and a fan coil
@end
@electric heater
electric heater: {power: 750 W, feed: inverter}
@end

battery:
  # kind: lithium ## lithium iron phosphate; or AGM
  capacity: $bank
  voltage: 12.8 V
  reserve: 10 % ## to be left at waking
  charge at bedtime: $charge ## full, or a share such as 85 %; or followed, from three days before
  # health: 90 % ## what is left of its capacity
  # charge limit: 150 A ## of battery or management; also discharge limit
  # cold charge: 0 C ## not charged below it
  # pad: 60 W ## a warming pad under it
  # zone: garage ## living, cab, garage

inverter: ## or none; left out, there is one only where something hangs on it
  idle: 20 W ## switched on, nothing plugged in
  efficiency: 90 %
  rating: $inverter
  on: $idles ## always, needed or search: whether it idles all day
  # cable size: 1/0 AWG ## to the bank; or 50 mm2
  # cable length: 3 ft ## one way

@roof panels
roof panels: ## leave the section out if there are none
  power: $panels ## of all panels, nameplate: 400 W, 2 x 200 W
  soiling: 5 %
  # in series: 2 ## then in parallel, module power, and of a module's data plate:
  # ## open circuit voltage, working voltage (at maximum power)
  # controller voltage: 100 V    # the most it stands; with site: {record cold: 0 F}
  # controller current: 30 A     # the most it charges with
  # shaded: 1 of 4, 15:00 to 18:00
@end

@ground panel
ground panel: {power: 120 W, when: 9:00 to 17:00, facing: noon}   # or a compass point
@end

# What charges besides; DC chargers hang on the alternator and work while driving:
@alternator
alternator: {amps: 220 A, vehicle draw: 40 A}   # its plate; also house share, post fuse
@end
@second alternator
second alternator: 250 A ## for the house alone
@end
@dc charger
dc charger: $chargers ## output amps, such as 30 A or 2 x 30 A
@end
@driving
driving: $driving ## or 9:00 to 12:00 on weekdays, 2 h every 3rd day
@end
@shore
shore: {inlet: 30 A, charger: 60 A, hours: $plugged}   # mains: always, night, or 18:00 to 9:00;
@end
# (shore is of 120 V; elsewhere also voltage: 230 V)

loads: ## what draws power besides fans and air conditioner
  - {name: fridge, kind: fridge, power: 55 W}    # watts while its compressor runs
  - {name: lights, power: 15 W, when: 19:00 to 22:30}
  - name: cooking plate
    power: 1500 W
    when: 18:30 to 19:00
    feed: inverter ## battery, or inverter for mains sockets
    water: cooking ## or 300 g/h: steam while it is on; drying clothes, shower
  # - kettle ## an ordinary load needs only its name; what is given wins:
  # - {name: heated blanket, power: 80 W}

@remedies
remedies: ## what you would change to make it last, each by its step
  - roof panels ## or driving, insulation, shade, AC setpoint, window covers and so on
  - battery 100 Ah up to 300 Ah
@end

@rules
rules: ## what may run when, one sentence each
  - AC only above 40 % unless asleep
  - shed the cooking plate under 20 %
  - lights only from 18:00 to 23:00     # or while driving, on shore, asleep, awake, home, away;
  # ## or when the sun gives more than 300 W
  - AC at 26 C from 02:00 to 06:00
@end

@water
water: {tank: 20 gal, use: 2.5 gal}   # fresh water, and what each person uses of it a day
@end
@trip
trip: ## stops for `vanclimate trip`, each a line or a section of keys
  - 12 $month, 3 nights ## at the sheet's own site; or a place first: greensboro, 12 January
  - {arrival: 15 $month, at: 18:00, nights: 4, drive: 3 h, shore: yes}
@end

@spare circuits
spare circuits: ## wires for what comes later; `vanclimate check` says what they carry
  - {name: awning lights, planned: 40 W, fuse: 10 A, wire: 14 AWG, length: 12 ft}
@end
"""


def laid_out(values: Mapping[str, str], live: Collection[str], left_out: Collection[str]) -> str:
    """Return the sheet's text.

    Parameters
    ----------
    values : what stands for each ``$word``
    live : sections that are no comments
    left_out : sections that are not in it at all
    """
    lines, inside = [], ""
    for line in Template(_TEXT).substitute(values).splitlines():
        if line.startswith("@"):
            inside = "" if line == "@end" else line[1:]
        elif inside not in left_out or not inside:
            commented = bool(inside) and inside not in live
            lines.append(_line(f"# {line}" if commented else line))
    return "\n".join(lines) + "\n"


def _line(text: str) -> str:
    """Return a line with its comment in the column of comments, two blanks from its value."""
    match = re.fullmatch(r"(.*?\S) +## (.*)", text)
    return text if match is None else f"{match[1]:<{COLUMN - 2}}  # {match[2]}"
