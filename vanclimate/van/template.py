"""The sheet that a builder starts from.

What does not belong here: reading a sheet (reading.py).
"""

from __future__ import annotations

import contextlib
import os
import tempfile
from pathlib import Path

from vanclimate.errors import OptionError

_TEXT = """\
# A van, a place and a night. Change what differs in yours; leave out what you do not know:
# a value left out is guessed, and the answer names the guesses that matter most.
# Lengths, areas and so on need their unit, in either system: 70 in, 14 ft 6 in, 1.78 m.

name: My van
note: A made-up van to start from.   # free text, printed with the answer
# prepared by: your name or shop        # both stand on the page that `--page` makes
# prepared for: your client
# library: my-library.yaml  # a file of your own materials, stacks, bodies, equipment and loads,
#                           # which this sheet then takes by name; `vanclimate library` lists rows
site: miami                 # a shipped place, a weather file, or a fetched one; or in full:
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
month: July                 # or, in its place, stay: 12 July to 26 July
night: hottest              # of the month; or coldest, typical, or a day such as 07-15
heading: unknown            # the way its nose points: S, SW, 210 deg; unknown = the worst of eight
shade: none                 # none, light tree, heavy tree, canopy, or a share such as 40 %
units: us                   # units of the answer: us or metric

body:                       # the living space, measured inside
  # kind: long high van     # gives a usual size: short, medium, long or extended, with a standard,
  #                         # medium or high roof; pop-top van, box trailer, small truck body
  length: 12 ft
  width: 70 in
  height: 74 in
  colour: white             # white, silver, grey, red, blue, black and so on; or a share absorbed
  rib share: 10 %           # share of the sides that are ribs and pillars; or, in its place:
  #                         # of a box trailer or truck body its panels' edge profiles
  # ribs: {kind: hat, depth: 30 mm, width: 40 mm, spacing: 16 in}  # hat, C, Z, box or timber;
  #                         # then also sheet: 20 gauge, cover: 12 mm (foam over them), filled: yes,
  #                         # strip: rubber 3 mm, mastic: 3 mm, lined: no, and roof ribs, floor ribs
  leakage: ordinary         # tight, ordinary, leaky; or an area such as 60 cm2

stacks:                     # layers from the outside in: a material and a thickness
  roof: [steel 0.9 mm, XPS 1-1/2 in, plywood 1/4 in]
  walls: [steel 20 gauge, R-7 sheep wool, plywood 6 mm]   # an R-value gives the thickness
  floor: [steel 1.2 mm, XPS 1 in, plywood 1/2 in]
  # rear: [steel 20 gauge, R-13 glass wool in 2 in, vapour barrier film, air gap 1/2 in, ply 6 mm]
  #     # 'in 2 in': a batt squeezed; film, foil, kraft facing and paint need no thickness;
  #     # vented air gap: to outdoors; cabin-vented air gap: behind a slatted lining
  # front, rear, left and right are built as the walls unless they have a line of their own

# stacks to try:            # for `vanclimate stacks`: between your own skin and lining, on roof
#   - sheep wool 2-1/2 in   # and walls; left out, the library's ordinary ones are tried
#   - {name: foam and foil, layers: [sprayed foam 2 in, foil, air gap 1/2 in], rib cover: 1/2 in}
#   #                       # also roof, walls, floor: layers of that side; whole: yes
# prices:                   # your own, in any money; `vanclimate stacks` adds them up
#   sprayed foam: 2.10 USD per board foot     # or per m2, per ft2, per m2 of 50 mm, per m3
#   sheep wool: 1.60 per ft2

# Rooms with air of their own; without these lines cab and garage count with the living space:
# cab: {divider: curtain, drawn: night}      # or thick curtain, bulkhead, open
# garage: {length: 50 in, height: 30 in}     # the hold under the bed, at the rear
# pop top: {raised: night, height: 20 in}    # a roof that lifts on fabric sides

windows:                    # 'windows: none' for a body without; left out, cab glass is guessed
  - name: windscreen
    side: front             # front, rear, left, right, roof
    area: 1.3 m2
    glass: laminated        # clear, laminated, green, tinted, double, double acrylic,
    #                       # tinted double acrylic, clear dome, smoked dome, white dome,
    #                       # double dome
    # slope: 45 deg         # from level; a windscreen leans so, left out, other glass is upright
    cover: insulated        # none, curtain, thick curtain, blind, insulated, reflective,
    #                       # foam board; outside mat, outside reflective, outside mesh
    covered: night          # never, night, day, always; or times such as 20:00 to 08:00
    # cover edge: tight     # its gap along the edges: sealed, tight, ordinary, loose, hanging; 3 mm
    # cover resistance: 0.4 m2K/W
    # zone: cab             # living, cab, garage; at the front it is the cab's, if one is described
    # opening: 100 in2       # of one that opens: its free area, and when: never, night, day,
    # open: night            # always, or times; shut while the air conditioner cools
  - {name: cab door left, side: left, area: 0.4 m2, glass: clear, cover: insulated}
  - {name: cab door right, side: right, area: 0.4 m2, glass: clear, cover: insulated}

people:
  sleepers: 2
  bedtime: 22:30
  waking: 07:00             # earlier than bedtime is the next morning
  home: 18:00 to 09:00      # when somebody is in the van
  limit: 79 F               # the warmest they sleep well in, air and walls together

fans:
  count: 1                  # roof fans
  flow: 900 CFM             # each, free air, from its data plate
  power: 30 W               # each
  by day: on                # run while nobody is there
  # shut off pressure: 0.2 in wg          # against which it moves nothing; or its whole curve:
  # curve: [0 Pa at 900 CFM, 30 Pa at 500 CFM, 60 Pa at 0 CFM]    # in place of flow and pressure
  # open window: 150 in2    # left open for its air while it runs; none without windows
  # arrangement: out        # or, with two fans or more: one in one out
  bed fan speed: 0.8 m/s    # breeze at the bed
  bed fan power: 6 W

vents: {high: 4 in2, low: 2 in2}    # openings that cannot be shut, free area; or none
# doors: {area: 20 ft2, height: 67 in, openings per hour: 2, open for: 20 s}
# appliances: none          # on gas: none, room sealed, open burner

fresh air: 7.5 L/s          # outdoor air for each sleeper, all night

air conditioner:            # leave the section out if there is none
  kind: rooftop AC, 13.5 kBTU/h class
  capacity: 13.5 kBTU/h     # at the rated point, from the data plate
  power: 1300 W             # the same, blower included
  airflow: 320 CFM
  blower power: 110 W
  blower: automatic         # automatic: stops with the compressor; or continuous
  setpoint: 75 F
  by day: off               # or, to keep the van cool: hold 80 F
  # speed: variable         # fixed, or variable: it slows down to its floor, such as 30 %
  # table: [13.5 kBTU/h and 1300 W at 95 F and 67 F, 12 kBTU/h and 1500 W at 110 F and 67 F]
  #                         # in place of capacity and power: at outdoor air and indoor wet bulb
  # heats: yes              # a heat pump: also heating capacity, heating power at 47 F,
  #                         # heating setpoint, heating when, heats down to
  # condenser: roof         # what it breathes: outside, roof, underneath; or, of a portable unit,
  # hose: one               # one or two
  # soft start: yes

# heater:                   # burns fuel outside the cabin's air; left out, there is none
#   fuel: diesel            # diesel, petrol, propane
#   output: 2 kW            # at full, from the data plate; and the least it burns at:
#   floor: 900 W
#   setpoint: 64 F
#   when: home              # home, night, always, never, or times; at other times:
#   otherwise: hold 45 F    # or off
#   tank: 2.5 gal           # or supply: main tank
#   # kind: hydronic        # air, or hydronic: coolant and a fan coil
# electric heater: {power: 750 W, feed: inverter}

battery:
  # kind: lithium           # lithium iron phosphate; or AGM
  capacity: 400 Ah
  voltage: 12.8 V
  reserve: 10 %             # to be left at waking
  charge at bedtime: full   # a share such as 85 %; or followed, from three days before
  # health: 90 %            # what is left of its capacity
  # charge limit: 150 A     # of battery or management; also discharge limit
  # cold charge: 0 C        # not charged below it
  # pad: 60 W               # a warming pad under it
  # zone: garage            # living, cab, garage

inverter:                   # or none; left out, there is one only where something hangs on it
  idle: 20 W                # switched on, nothing plugged in
  efficiency: 90 %
  rating: 3000 W
  # on: needed              # always, needed or search: whether it idles all day
  # cable size: 1/0 AWG     # to the bank; or 50 mm2
  # cable length: 3 ft      # one way

roof panels:                # leave the section out if there are none
  power: 400 W              # of all panels, nameplate
  soiling: 5 %
  # in series: 2            # then in parallel, module power, and of a module's data plate:
  #                         # open circuit voltage, working voltage (at maximum power)
  # controller voltage: 100 V    # the most it stands; with site: {record cold: 0 F}
  # controller current: 30 A     # the most it charges with
  # shaded: 1 of 4, 15:00 to 18:00

# ground panel: {power: 120 W, when: 9:00 to 17:00, facing: noon}   # or a compass point

# What charges besides; DC chargers hang on the alternator and work while driving:
# alternator: {amps: 220 A, vehicle draw: 40 A}   # its plate; also house share, post fuse
# second alternator: 250 A  # for the house alone
# dc charger: 2 x 30 A      # output amps
# driving: 3 h a day        # or 9:00 to 12:00 on weekdays, 2 h every 3rd day
# shore: {inlet: 30 A, charger: 60 A, hours: night}   # mains; or always, or 18:00 to 9:00;
#                           # of 120 V, elsewhere also voltage: 230 V

loads:                      # what draws power besides fans and air conditioner
  - {name: fridge, kind: fridge, power: 55 W}    # watts while its compressor runs
  - {name: lights, power: 15 W, when: 19:00 to 22:30}
  - name: cooking plate
    power: 1500 W
    when: 18:30 to 19:00
    feed: inverter          # battery, or inverter for mains sockets
    water: cooking          # or 300 g/h: steam while it is on; drying clothes, shower
  # - kettle                # an ordinary load needs only its name; what is given wins:
  # - {name: heated blanket, power: 80 W}

# remedies:                 # what you would change to make it last, each by its step
#   - roof panels           # or driving, insulation, shade, AC setpoint, window covers and so on
#   - battery 100 Ah up to 300 Ah

# rules:                    # what may run when, one sentence each
#   - AC only above 40 % unless asleep
#   - shed the cooking plate under 20 %
#   - lights only from 18:00 to 23:00     # or while driving, on shore, asleep, awake, home, away;
#   #                       # or when the sun gives more than 300 W
#   - AC at 26 C from 02:00 to 06:00

# water: {tank: 20 gal, use: 2.5 gal}   # fresh water, and what each person uses of it a day
# trip:                     # stops for `vanclimate trip`, each a line or a section of keys
#   - greensboro, 12 January, 3 nights
#   - {place: miami, arrival: 15 January, at: 18:00, nights: 4, drive: 8 h, shore: yes}

# spare circuits:           # wires for what comes later; `vanclimate check` says what they carry
#   - {name: awning lights, planned: 40 W, fuse: 10 A, wire: 14 AWG, length: 12 ft}
"""


def new_sheet_text() -> str:
    """Return a commented sheet of an ordinary van, ready to edit and to run."""
    return _TEXT


def write_new(path: str | Path) -> Path:
    """Write the starting sheet to a new file; a file that is there is never overwritten.

    Parameters
    ----------
    path : where to write it; its folder must be there

    Raises
    ------
    OptionError : something of that name is there, or the folder cannot be written to
    """
    target = Path(path)
    taken = OptionError("file", str(target), "a new name: a file there is never overwritten")
    if os.path.lexists(target):
        raise taken
    temporary = None
    try:
        # whole in a file of its own first, so that a half-written sheet never has the real name
        handle, temporary = tempfile.mkstemp(suffix=".tmp", dir=target.parent)
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
            file.write(_TEXT)
        os.chmod(temporary, 0o666 & ~_umask())
        _move_to_new(temporary, target)
    except FileExistsError:
        raise taken from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise OptionError("file", str(target), "a place that can be written to", reason) from None
    finally:
        if temporary is not None:
            with contextlib.suppress(FileNotFoundError):
                os.unlink(temporary)
    return target


def _move_to_new(temporary: str, target: Path) -> None:
    """Give the file its real name, unless somebody took that name meanwhile."""
    try:
        os.link(temporary, target)  # fails where the name is taken, in one step
    except FileExistsError:
        raise
    except OSError:  # a file system without hard links
        with open(target, "x", encoding="utf-8", newline="\n") as file:
            file.write(_TEXT)


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
