"""Differences made by hand are told as they were made."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from dutyline.catalogue.library import demo_line, read_line
from dutyline.catalogue.parts import ProductLine
from dutyline.editions.find import difference
from dutyline.editions.records import Difference
from dutyline.editions.touch import touched
from dutyline.editions.words import chapters, headline, share_text
from support.lines import Edit, edited, tables, write

THIN = "\u202f"


def told(found: Difference, title: str) -> list[str]:
    rows = [row for c in chapters(found) if c.title == title for row in c.rows]
    return [f"{row.head} {row.detail}".strip().replace(THIN, " ").replace("\u00a0", " ")
            for row in rows]  # fmt: skip


@pytest.fixture
def plain(tmp_path: Path) -> ProductLine:
    return edited(tmp_path / "plain")


def test_one_value(tmp_path: Path, plain: ProductLine) -> None:
    edit = Edit("gearheads", "torque_accel_nm", "51.0", {"gearhead": "XG72-24"})
    found = difference(plain, edited(tmp_path / "b", edit))
    (change,) = found.changes
    assert (change.kind, change.key, change.column) == (
        "gearheads", ("XG72-24",), "torque_accel_nm",
    )  # fmt: skip
    assert (change.old, change.new, change.effect) == ("63.3", "51", "less")
    assert change.ratio == pytest.approx(51 / 63.3)
    assert not found.same
    assert told(found, "Allows less") == [
        "Acceleration torque of XG72-24: 63.3 becomes 51 N·m, 19.4 % less."
    ]


def test_the_same_change_over_many_rows_is_told_once(tmp_path: Path, plain: ProductLine) -> None:
    content = tables()
    for row in content["gearheads"]:
        row["torque_rated_nm"] = f"{float(row['torque_rated_nm']) * 0.95:.6g}"
    content["drives"][0]["peak_time_s"] = "3"
    for row in content["motors"]:
        row["winding_limit_c"] = "145"
    found = difference(plain, read_line(write(tmp_path / "b", content)))
    assert len(found.changes) == 38 + 1 + 12
    assert len(found.groups) == 3
    (less,) = told(found, "Allows less")
    assert less.startswith("Rated torque of 38 of 38 gearheads: 5 % less. ")
    assert less.endswith("and 35 more.")
    more = told(found, "Allows more")
    assert "Time of the peak current of XD-L2: 2.5 becomes 3 s, 20 % more." in more
    assert any(
        text.startswith("Limit temperature of the winding of 12 of 12 motors: 140 becomes 145 °C.")
        for text in more
    )


def test_a_range_names_its_ends(tmp_path: Path, plain: ProductLine) -> None:
    content = tables()
    for k, row in enumerate(content["gearheads"]):
        row["torque_rated_nm"] = repr(float(row["torque_rated_nm"]) * (0.98 - 0.005 * k))
    found = difference(plain, read_line(write(tmp_path / "b", content)))
    (less,) = told(found, "Allows less")
    first, last = content["gearheads"][0]["gearhead"], content["gearheads"][-1]["gearhead"]
    assert "2 to 20.5 % less" in less
    assert first in less
    assert last in less


def test_a_few_different_changes_are_told_apart(tmp_path: Path, plain: ProductLine) -> None:
    content = tables()
    for k, row in enumerate(content["brakes"]):
        row["release_ms"] = repr(float(row["release_ms"]) * (1.1 if k % 2 else 1.3))
    found = difference(plain, read_line(write(tmp_path / "b", content)))
    shares = [text.split(": ")[1].split(".")[0] for text in told(found, "Allows less")]
    assert shares == ["30 % more", "10 % more"]


def test_up_and_down_are_never_one_group(tmp_path: Path, plain: ProductLine) -> None:
    content = tables()
    for k, row in enumerate(content["motors"]):
        row["inertia_kgcm2"] = repr(float(row["inertia_kgcm2"]) * (1.1 if k % 2 else 0.9))
    found = difference(plain, read_line(write(tmp_path / "b", content)))
    assert sorted(len(g.changes) for g in found.groups) == [6, 6]
    assert {g.effect for g in found.groups} == {""}
    assert len(told(found, "Other values")) == 2


def test_stated_and_no_longer_stated(tmp_path: Path, plain: ProductLine) -> None:
    content = tables()
    for row in content["motors"]:
        row["tau_winding_s"] = ""
        row["price"] = "120"
    content["gearheads"][0]["protection"] = ""
    found = difference(plain, read_line(write(tmp_path / "b", content)))
    gone = told(found, "No longer stated")
    assert gone[0].startswith(
        "Thermal time constant of the winding of 12 of 12 motors: no longer stated."
    )
    assert "Protection class of XG54-4: no longer stated, was IP65." in gone
    (new,) = told(found, "Now stated")
    assert new.startswith("Price of 12 of 12 motors: now 120.")


def test_exact_ratios_are_told_as_fractions(tmp_path: Path, plain: ProductLine) -> None:
    edit = Edit("gearheads", "ratio", "91/16", {"gearhead": "XG54-6"})
    found = difference(plain, edited(tmp_path / "b", edit))
    assert told(found, "Other values") == ["Ratio of XG54-6: 6 becomes 91/16, 5.21 % less."]


def test_gone_new_and_equal_but_for(tmp_path: Path, plain: ProductLine) -> None:
    content = tables()
    for name, rows in content.items():
        for row in rows:
            for column, text in row.items():
                if text == "XB54":
                    row[column] = "XB54B"
        content[name] = rows
    brake = next(r for r in content["brakes"] if r["brake"] == "XB54B")
    brake["engage_ms"] = "21"
    found = difference(plain, read_line(write(tmp_path / "b", content)))
    assert told(found, "Gone beside new") == [
        "XB54 is gone; XB54B is new and equal but for engage time (20 becomes 21 ms)."
    ]
    gone = told(found, "Gone")
    assert gone[0] == "1 brake XB54."
    assert gone[1].startswith("4 motor-brake pairings")
    assert any(c.column == "brake" for c in found.changes)


def test_two_parts_that_are_as_near_are_not_told(tmp_path: Path, plain: ProductLine) -> None:
    brake = plain.brakes[0]
    other = replace(
        plain,
        motors=tuple(replace(m, brake="" if m.brake == brake.name else m.brake)
                     for m in plain.motors),
        pairings=tuple(p for p in plain.pairings if brake.name not in (p.left, p.right)),
        brakes=(replace(brake, name="A"), replace(brake, name="B"), *plain.brakes[1:]),
    )  # fmt: skip
    assert difference(plain, other).successors == ()
    one = replace(other, brakes=(replace(brake, name="A"), *plain.brakes[1:]))
    (found,) = difference(plain, one).successors
    assert (found.gone.key, found.new.key, found.changes) == ((brake.name,), ("A",), ())


def test_curves(plain: ProductLine) -> None:
    curve = plain.curves[0]
    lower = replace(curve, torque=tuple(0.9 * t for t in curve.torque))
    longer = replace(curve, speed=(*curve.speed[:-1], curve.speed[-1] * 1.1))
    points = replace(curve, speed=(0.0, curve.speed[1] / 2, *curve.speed[1:]),
                     torque=(curve.torque[0], (curve.torque[0] + curve.torque[1]) / 2,
                             *curve.torque[1:]))  # fmt: skip

    def against(other):
        (found,) = difference(plain, replace(plain, curves=(other, *plain.curves[1:]))).curves
        return found

    assert (against(lower).low, against(lower).high) == pytest.approx((0.9, 0.9))
    assert against(lower).effect == "less"
    assert against(longer).end == pytest.approx(1.1)
    assert against(longer).effect == "more"
    assert (against(points).low, against(points).high) == pytest.approx((1.0, 1.0))
    assert against(points).effect == ""
    fewer = difference(plain, replace(plain, curves=plain.curves[1:]))
    assert told(fewer, "Gone") == ["1 curve peak curve of XM38-0050L at 115 V, 1~."]


def test_order_alone(plain: ProductLine) -> None:
    other = replace(plain, pairings=tuple(reversed(plain.pairings)))
    found = difference(plain, other)
    assert found.empty
    assert not found.same
    assert found.reordered == ("pairings.csv",)
    assert "same rows, those of pairings.csv in another order" in headline(found)


def test_five_hundred_changes_fit_a_page(plain: ProductLine) -> None:
    """Four columns of every gearhead, two of every motor and pairing: some rows of words."""
    other = replace(
        plain,
        gearheads=tuple(
            replace(g, torque_rated=(g.torque_rated or 1) * 0.93, mass=(g.mass or 1) * 1.02,
                    torque_acceleration=(g.torque_acceleration or 1) * (0.9 + 0.002 * k),
                    efficiency=0.9)
            for k, g in enumerate(plain.gearheads)
        ),
        motors=tuple(
            replace(m, inertia=(m.inertia or 1) * 1.1, series="low") for m in plain.motors
        ),
        pairings=tuple(
            replace(p, note="seen", torque_peak_out=5.0) for p in plain.pairings
        ),
    )  # fmt: skip
    found = difference(plain, other)
    assert len(found.changes) > 500
    rows = [row for c in chapters(found) for row in c.rows]
    assert len(rows) <= 15
    assert max(len(row.detail) for row in rows) < 250
    every = [row for c in chapters(found, every=True) for row in c.rows]
    assert sum(row.detail.count("; ") + 1 for row in every) >= 500


def test_only_the_edition(plain: ProductLine) -> None:
    other = replace(plain, edition="2", currency="EUR", thresholds=b"schema = 1\n")
    found = difference(plain, other)
    assert found.same
    assert "hold the same content" in headline(found)
    said = told(found, "The line itself")
    assert said[0] == "Edition: not stated becomes 2."
    assert said[1] == "Currency of the prices: not stated becomes EUR."
    assert said[2].startswith("audit.toml: none becomes checksum ")


def test_what_touches_a_combination(tmp_path: Path, plain: ProductLine) -> None:
    """Parts of it, their pairings, the curves of its motor; nothing of another part."""
    own = {"motors": "XM72-0450H", "gearheads": "XG72-24", "drives": "XD-H4", "brakes": None,
           "resistors": None}  # fmt: skip
    far = difference(
        plain, edited(tmp_path / "a", Edit("gearheads", "mass_kg", "9", {"gearhead": "XG54-4"}))
    )
    assert not touched(far, own)
    near = edited(tmp_path / "b", Edit("gearheads", "mass_kg", "9", {"gearhead": "XG72-24"}))
    assert touched(difference(plain, near), own).changes
    apart = replace(
        plain,
        pairings=tuple(p for p in plain.pairings
                       if (p.left, p.right) != ("XM72-0450H", "XG72-24")),
        curves=tuple(c for c in plain.curves if c.motor != "XM72-0450H"),
    )  # fmt: skip
    found = touched(difference(plain, apart), own)
    assert {i.kind for i in found.fewer} == {"pairings", "curves"}
    none = replace(plain, pairings=tuple(p for p in plain.pairings if p.kind != "motor-brake"))
    assert touched(difference(plain, none), own).wide == ("motor-brake",)
    gone = replace(plain, gearheads=tuple(g for g in plain.gearheads if g.name != "XG72-24"),
                   pairings=tuple(p for p in plain.pairings if p.right != "XG72-24"))  # fmt: skip
    assert [i.key for i in touched(difference(plain, gone), own).gone] == [("XG72-24",)]


@pytest.mark.parametrize(
    ("low", "high", "text"),
    [
        (0.95, 0.95, "5 % less"),
        (0.9, 0.95, "5 to 10 % less"),
        (1.5, 1.5, "50 % more"),
        (0.1, 0.1, "0.1 times"),
        (10.0, 12.0, "10 to 12 times"),
        (0.9, 1.2, "0.9 to 1.2 times"),
        (0.9501, 0.9502, "4.98 % less"),
    ],
)
def test_shares(low: float, high: float, text: str) -> None:
    assert share_text(low, high).replace(THIN, " ") == text


def test_names_are_followed_exactly() -> None:
    line = demo_line()
    other = replace(line, brakes=tuple(replace(b, name=b.name.lower()) for b in line.brakes))
    found = difference(line, other)
    assert len(found.gone) == len(found.new) == 6
    assert len(found.successors) == 6
