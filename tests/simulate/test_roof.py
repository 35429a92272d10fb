"""Rain and snow on a roof, and what the ground and the wind's direction do to a whole plan."""

from __future__ import annotations

import numpy as np
import pytest

from tests import invented
from vanclimate.answers.scene import changed_scene, run_way
from vanclimate.errors import SheetError
from vanclimate.network.compile import OUT_ROOF, OUT_WET, Model, compile_shell
from vanclimate.network.shell import shell_of
from vanclimate.simulate.plan import make_plan, stirring_speed
from vanclimate.van.reading import loads_text
from vanclimate.van.roof import DRY, RoofState, read_roof, write_roof


def model_of(roof: str) -> Model:
    text = invented.TEXT.format(**invented.USUAL)
    return compile_shell(
        shell_of(loads_text(text.replace("body: {", f"body: {{roof state: {roof}, ")))
    )


def test_roof_words_are_read_and_written_again() -> None:
    assert read_roof("dry") == DRY
    assert read_roof("snow") == RoofState("snow", 0.10)
    for text in ("dry", "wet", "snow 20 cm"):
        assert read_roof(write_roof(read_roof(text))) == read_roof(text)


@pytest.mark.parametrize("text", ["ice", "wet 3 cm", "snow 2 m", "snow 1 mm"])
def test_a_roof_that_cannot_be_is_refused(text: str) -> None:
    with pytest.raises(SheetError, match="roof state"):
        model_of(text)


def test_snow_lies_on_skin_and_ribs_and_hides_the_panels() -> None:
    bare, snowy = model_of("dry"), model_of("snow 20 cm")
    on_roof = [k for k, c in enumerate(bare.chains) if c.side == "roof" and c.glazing is None]
    assert on_roof
    for k in on_roof:
        more = [len(np.arange(*m.network.first[k : k + 2])) for m in (bare, snowy)]
        assert more[1] == more[0] + 3
        link = [
            m.network.link[m.network.first[k] : m.network.first[k + 1] - 1] for m in (bare, snowy)
        ]
        # 20 cm of 2.22362·0.2^1.885 = 0.1070 W/mK: 1.869 m2K/W
        resistance = [bare.chains[k].area * float((1.0 / x).sum()) for x in link]
        assert resistance[1] - resistance[0] == pytest.approx(1.869, abs=0.02)
        assert snowy.chains[k].absorptance == pytest.approx(0.3)
    assert bare.shell.panel_share > 0.0 == snowy.shell.panel_share
    assert any("snow" in note for note in snowy.shell.notes)


def test_a_wet_roof_meets_the_wet_bulb() -> None:
    kinds = {roof: {int(model_of(roof).network.outside[k])
                    for k, c in enumerate(model_of(roof).chains) if c.side == "roof"}
             for roof in ("dry", "wet")}  # fmt: skip
    assert kinds == {"dry": {OUT_ROOF}, "wet": {OUT_WET}}


def plan_of(roof: str, **changes: object):
    scene = invented.scene(**changes)
    sheet = scene.sheet.with_value("body.roof_state", read_roof(roof))
    start = invented.bedtime(scene)
    from datetime import timedelta

    return make_plan(
        sheet, scene.model, scene.place, "fans", start - timedelta(hours=20),
        start + timedelta(hours=9), [start], 100.0,
    ), sheet  # fmt: skip


def test_panels_bring_nothing_under_snow() -> None:
    assert plan_of("dry")[0].schedule.solar.max() > 50.0
    assert plan_of("snow")[0].schedule.solar.max() == 0.0


def test_a_wet_roof_s_wet_bulb_is_below_the_air_and_a_dry_one_s_is_the_air() -> None:
    wet, dry = plan_of("wet")[0].outside, plan_of("dry")[0].outside
    assert np.array_equal(dry.wet_bulb, dry.temp)
    assert (wet.wet_bulb < wet.temp).all()
    assert (wet.temp - wet.wet_bulb).max() > 3.0


def test_fans_stir_at_night_in_their_own_way_only() -> None:
    plan, sheet = plan_of("dry")
    night = plan.schedule.asleep[:, 0] > 0
    # 0.3 of the bed fan's 0.8 m/s
    assert plan.schedule.stirred[night, 0] == pytest.approx(0.24)
    assert plan.schedule.stirred[~night, 0].max() < 0.24
    moved = type("Moved", (), {"fan_flow": np.array([[0.4]]), "fan_balanced": np.zeros((1, 1))})
    still = np.array([False])
    area = sheet.body.width * sheet.body.height
    assert stirring_speed(sheet, moved, still) == pytest.approx(0.4 / area)


def test_a_wet_roof_in_the_sun_is_steady_and_far_cooler() -> None:
    """Evaporation grows steeply with temperature: a film frozen badly swings from step to step."""
    skins = {}
    for roof in ("dry", "wet"):
        scene = invented.scene(colour="black", panels=0)
        changed = changed_scene(scene, "body.roof_state", read_roof(roof))
        run = run_way(changed, "closed", invented.bedtime(changed), limited=False, keep_nodes=True)
        k = next(k for k, c in enumerate(changed.model.chains) if c.side == "roof")
        skins[roof] = run.nodes[:, changed.model.network.first[k]]
    step = np.diff(skins["wet"][-288:])
    # the sun steps from hour to hour; half an hour later a tenth of the step is all that swings on
    large = np.flatnonzero(np.abs(step[:-6]) > 1.0)
    assert large.size
    assert (np.abs(step[large + 6]) < 0.1 * np.abs(step[large]) + 0.05).all()
    assert skins["wet"].max() < skins["dry"].max() - 20.0
