"""What a sheet puts into its rooms, and when curtains and lifting roofs stand where."""

from __future__ import annotations

import numpy as np
import pytest

from vanclimate.network.compile import compile_shell
from vanclimate.network.shell import shell_of
from vanclimate.simulate.gear import cabin_of
from vanclimate.simulate.loads import BATTERY, MAINS, load_arrays
from vanclimate.simulate.plan import cover_closed, passages_open
from vanclimate.van.reading import loads_text

TEXT = """\
site: miami
body: {length: 3.6 m, width: 1.8 m, height: 1.9 m}
stacks: {roof: [steel 0.9 mm, XPS 40 mm], walls: [steel 0.9 mm], floor: [plywood 12 mm]}
cab: curtain
garage: {length: 1.2 m}
pop top: {raised: night, leakage: 40 cm2}
windows: none
battery: {zone: garage}
inverter: {zone: cab}
loads:
  - {name: fridge, kind: fridge, power: 50 W, zone: garage}
  - {name: pump, power: 20 W, zone: cab}
  - {name: kettle, power: 100 W, when: 07:00 to 08:00, water: 36 g/h}
"""
DAY_AND_NIGHT = np.array([12 * 60.0, 7.5 * 60, 3 * 60.0])
NIGHT = np.array([False, False, True])


def test_the_heat_and_water_of_loads_go_to_their_rooms():
    drawn = load_arrays(loads_text(TEXT), DAY_AND_NIGHT)
    # one group, for no rule sheds any; the kettle is a library's one, on the mains sockets
    assert drawn.floor.tolist() == [[0.0]] * 3
    heat, water = drawn.heat[:, 0], drawn.water[:, 0]
    assert heat[:, BATTERY, 1] == pytest.approx([20.0] * 3)
    assert heat[:, :, 2] == pytest.approx(0.0)
    assert water[:, MAINS, 0] == pytest.approx([0.0, 1e-5, 0.0])
    assert not water[:, BATTERY].any()
    assert 70.0 < heat[1, MAINS, 0] < 100.0  # some of the kettle's watts leave as vapour
    assert drawn.fridge_heat[:, 0] == pytest.approx(np.array([[50.0, 0.0]] * 3))
    assert drawn.power[:, 0] == pytest.approx(np.array([[20.0, 0.0], [20.0, 100.0], [20.0, 0.0]]))


def test_bank_inverter_and_fridge_stand_where_the_sheet_says():
    sheet = loads_text(TEXT)
    cabin = cabin_of(sheet, compile_shell(shell_of(sheet)), 101325.0)
    assert (cabin.bank_zone, cabin.inverter_zone, cabin.fridge_zone) == (2, 1, 2)
    # the body's 60 cm2 shared out, and the fabric's 40 cm2 besides
    assert cabin.leakage.sum() == pytest.approx(100e-4)
    assert cabin.passage_leak[0] == 0.0
    assert (cabin.passage_leak[1:] > 0.0).all()


def test_a_curtain_is_drawn_and_a_roof_is_raised_at_night_alone():
    model = compile_shell(shell_of(loads_text(TEXT)))
    closed = cover_closed(model, DAY_AND_NIGHT, NIGHT)
    for k, c in enumerate(model.chains):
        if c.name == "curtain" or c.group == "pop top":
            assert closed[:, k].tolist() == NIGHT.tolist()
        elif c.group != "furnishing":
            assert closed[:, k].all()
    opened = passages_open(model, DAY_AND_NIGHT, NIGHT)
    assert opened[:, 1].tolist() == [1.0, 1.0, 0.0]
    assert not opened[:, 2].any()
