"""Load, mechanism, stages and balances of the file become the drive train."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache
from typing import TypeVar

from dutyline.axis.forms import INPUT_KINDS
from dutyline.axis.records import record_of
from dutyline.axis.rolls import one_of
from dutyline.axis.stated import Stated, Tree
from dutyline.axis.tables import FaultList
from dutyline.core.errors import RangeError
from dutyline.core.numbers import bare
from dutyline.train.bent_parameters import (
    CamParams,
    FeedRollsParams,
    FourBarParams,
    RatioTableParams,
    RotaryLoadParams,
    ScotchYokeParams,
    SliderCrankParams,
    ToggleParams,
    WinderParams,
)
from dutyline.train.mechanisms import mechanism_stages
from dutyline.train.parameters import (
    BallScrewParams,
    BeltParams,
    BeltReductionParams,
    ConveyorParams,
    CounterweightParams,
    CouplingParams,
    DirectParams,
    FieldRangeError,
    HoistParams,
    LeadScrewParams,
    LoadParams,
    MechanismParams,
    RackParams,
    ReductionParams,
    RightAngleParams,
    RotaryTableParams,
    ShaftParams,
    SpringParams,
    StageParams,
    SwingArmParams,
    TandemParams,
    WormParams,
)
from dutyline.train.records import Chain, ConstantRatio, Force, Load, Stage, Train
from dutyline.train.stages import build_stage
from dutyline.train.tandem import tandem

MECHANISMS: dict[str, type[MechanismParams]] = {
    record.kind: record
    for record in (
        BallScrewParams,
        LeadScrewParams,
        RackParams,
        BeltParams,
        ConveyorParams,
        RotaryTableParams,
        SwingArmParams,
        HoistParams,
        WinderParams,
        FeedRollsParams,
        SliderCrankParams,
        ScotchYokeParams,
        ToggleParams,
        FourBarParams,
        CamParams,
        RatioTableParams,
        RotaryLoadParams,
        DirectParams,
    )
}
STAGES: dict[str, type[StageParams]] = {
    record.kind: record
    for record in (
        ReductionParams,
        RightAngleParams,
        BeltReductionParams,
        WormParams,
        CouplingParams,
        ShaftParams,
    )
}

LARGEST_CHANGE = 1e9
"""Of speed or torque by all stages and losses together; more is a slip of a power of ten."""

Built = TypeVar("Built")


def train_of(
    tree: Tree, gravity: float, forces: tuple[Force, ...], faults: FaultList
) -> Train | None:
    """The drive train of a file, or None when something about it is at fault."""
    before = len(faults.faults)
    base = _base(tree, gravity, faults)
    bare = _base(tree, gravity, faults, lost=True) if _may_be_lost(tree) else None
    stages = [
        _asking(tree, faults, _stage, table)
        for table in tree.many("stage")
        if table.kind is not None and not faults.told(table.path)
    ]
    if base is None or len(faults.faults) > before or faults.told("stage") or faults.told("tandem"):
        return None
    first = next(iter(base[0]), None)
    chain = _chain(base, stages)
    if tree.linear and _kind(tree) == "direct" and tree.many("stage"):
        read = "a linear motor moves the load itself; there is no shaft for a stage."
        faults.add(("stage",), "stage", read, "Leave out the stages, or state the mechanism.")
        return None
    if not _check_change([stage for stage in stages if stage is not None], first, faults):
        return None
    bared = None if bare is None else _chain(bare, stages)
    branches = branches_of(tree, gravity, faults)
    if branches is None:
        return None
    chain = joined(chain, branches)
    bared = None if bared is None else joined(bared, branches)
    together = tree.one("tandem")
    if together is not None:
        params = record_of(TandemParams, together)
        whole = chain
        one = _asking(tree, faults, lambda: tandem(whole, params))
        if one is None:
            return None
        chain, bared = one, None if bared is None else tandem(bared, params)
    return Train(
        chain=chain,
        forces=forces,
        kind=_kind(tree),
        self_locking=any(stage.self_locking for stage in chain.stages),
        unbalanced=bared,
        input_stated=_states_input(tree),
    )


def branches_of(tree: Tree, gravity: float, faults: FaultList) -> tuple[Chain, ...] | None:
    """Further loads on the output shaft; None where one of them is at fault."""
    found = []
    for table in tree.many("branch"):
        if not faults.told(table.path):
            found.append(_branch(table, gravity, faults))
    if faults.told("branch"):
        return None
    return tuple(chain for chain in found if chain is not None)


def _branch(table: Stated, gravity: float, faults: FaultList) -> Chain | None:
    """The chain of one branch, from its load to the shaft."""
    rows: dict[str, tuple[Stated, ...]] = {}
    for name in ("load", "mechanism", "stage", "balance"):
        entry = table.entries.get(name)
        rows[name] = table.tables(name) or ((entry,) if isinstance(entry, Stated) else ())
    tree = Tree(rows, table.linear, table.linear, f"{table.path}.")
    base = _base(tree, gravity, faults)
    stages = [_asking(tree, faults, _stage, row) for row in rows["stage"]]
    if base is None or faults.told(table.path):
        return None
    chain = _chain(base, stages)
    if chain.load.payloads:
        read = "payloads are carried in phases, and those speak of the main load."
        faults.add(table.keys, f"{table.path}.load.payloads", read, "Add the mass to the load.")
    if chain.load.rider is not None:
        read = "the motor rides with the main load, or stands."
        remedy = "Leave motor_rides out here."
        faults.add(table.keys, f"{table.path}.mechanism.motor_rides", read, remedy)
    if any(stage.ratio.constant is None or stage.members is not None for stage in chain.stages):
        read = f"a {_kind(tree)} as a branch is not computed by this version."
        remedy = "Make it the main mechanism, and the other load the branch."
        faults.add(table.keys, f"{table.path}.mechanism.kind", read, remedy)
    return chain


def joined(chain: Chain, others: tuple[Chain, ...]) -> Chain:
    """The chain with further loads on its output shaft."""
    if not others:
        return chain
    stages = chain.stages or (Stage("Shaft", "shaft", ConstantRatio(1.0)),)
    last = replace(stages[-1], joined=(*stages[-1].joined, *others))
    return Chain(chain.load, (*stages[:-1], last))


def _states_input(tree: Tree) -> bool:
    """Whether the phases state the motion of a crank, cam or knee."""
    mechanism = tree.one("mechanism")
    kind = None if mechanism is None else mechanism.kind
    return mechanism is not None and kind in INPUT_KINDS and mechanism.word("motion") != "load"


def _may_be_lost(tree: Tree) -> bool:
    return any(table.flag("lost") for table in tree.many("balance"))


def _chain(base: tuple[tuple[Stage, ...], Load], stages: list[Stage | None]) -> Chain:
    first, load = base
    return Chain(load, (*first, *(stage for stage in stages if stage is not None)))


def _check_change(stages: list[Stage], first: Stage | None, faults: FaultList) -> bool:
    """Whether the stages together change speed and torque by what a machine can."""
    change = own = 1.0 if first is None else _loss(first)
    for stage in stages:
        ratio = abs(stage.ratio.constant or 1.0)
        change *= max(ratio, 1.0 / ratio) * _loss(stage)
    if change <= LARGEST_CHANGE:
        return True
    keys = ("mechanism",) if own > LARGEST_CHANGE else ("stage",)
    read = (
        f"speed or torque changes {bare(change, 3)} times from load to shaft; no machine does that."
    )
    faults.add(keys, keys[0], read, "Check the ratios and efficiencies of mechanism and stages.")
    return False


def _loss(stage: Stage) -> float:
    return max(1.0 / stage.efficiency, abs(stage.efficiency_back))


def _kind(tree: Tree) -> str:
    mechanism = tree.one("mechanism")
    return (mechanism.kind if mechanism is not None else None) or ""


def _base(
    tree: Tree, gravity: float, faults: FaultList, *, lost: bool = False
) -> tuple[tuple[Stage, ...], Load] | None:
    """The stages of the mechanism and the load it moves; without balances that may be lost."""
    load, mechanism = tree.one("load"), tree.one("mechanism")
    if load is None or mechanism is None or mechanism.kind is None:
        return None
    if faults.told("load") or faults.told("mechanism") or faults.told("balance"):
        return None
    kept = tuple(t for t in tree.many("balance") if not (lost and t.flag("lost")))
    if mechanism.kind != WinderParams.kind:
        known = all(table.kept for table in (mechanism, load, *kept))
        moved = _known if known else _moved
        return _asking(tree, faults, lambda: moved(mechanism, load, kept, gravity))
    roll = one_of(record_of(WinderParams, mechanism), tree)
    return _asking(tree, faults, lambda: _stages(roll, load, mechanism, kept, gravity))


def _moved(
    mechanism: Stated, load: Stated, balances: tuple[Stated, ...], gravity: float
) -> tuple[tuple[Stage, ...], Load]:
    """Stages and load of tables that tell all there is about them."""
    more = _travels(mechanism) if mechanism.kind == "ratio-table" else {}
    params = record_of(MECHANISMS[mechanism.kind or ""], mechanism, **more)
    return _stages(params, load, mechanism, balances, gravity)


_known = lru_cache(maxsize=64)(_moved)
"""Of tables that are kept."""


def _stages(
    params: MechanismParams,
    load: Stated,
    mechanism: Stated,
    balances: tuple[Stated, ...],
    gravity: float,
) -> tuple[tuple[Stage, ...], Load]:
    moved, own = record_of(LoadParams, load), [_balance(table, mechanism) for table in balances]
    return mechanism_stages(params, moved, gravity=gravity, balances=own)


def _travels(mechanism: Stated) -> dict[str, str]:
    """How input and load of a table move, by the units of its points."""
    points = mechanism.entries.get("points")
    assert isinstance(points, tuple)
    first = points[0]
    assert isinstance(first, tuple)
    units = ("rotary" if value.unit == "rad" else "linear" for value in first)
    return dict(zip(("input_travel", "load_travel"), units, strict=True))


def _balance(table: Stated, mechanism: Stated) -> CounterweightParams | SpringParams:
    name = table.word("name") or table.kind or ""
    if table.kind == "counterweight":
        return record_of(CounterweightParams, table, name=name)
    return record_of(SpringParams, table, name=name, travel=mechanism.number("travel"))


def _stage(table: Stated) -> Stage:
    return build_stage(_stage_params(table))


def _stage_params(table: Stated) -> StageParams:
    return record_of(STAGES[table.kind or ""], table)


def mechanism_of(tree: Tree) -> MechanismParams | None:
    """The mechanism as stated, of a file without faults."""
    table = tree.one("mechanism")
    return None if table is None else record_of(MECHANISMS[table.kind or ""], table)


def stages_of(tree: Tree) -> tuple[StageParams, ...]:
    """The stages as stated, of a file without faults."""
    return tuple(_stage_params(table) for table in tree.many("stage"))


def _asking(
    tree: Tree, faults: FaultList, build: Callable[..., Built], table: Stated | None = None
) -> Built | None:
    """What a builder returns; a number that it refuses becomes a fault with its place."""
    try:
        return build() if table is None else build(table)
    except FieldRangeError as error:
        field = re.sub(r"^balance\.\d+\.travel$", "mechanism.travel", error.field)
        path = tree.prefix + field if table is None else f"{table.path}.{field}"
        keys = _keys_of(tree, field) if table is None else _inner(table, field)
        remedy = "Add it." if "is missing" in str(error) else "Check the number, or leave it out."
        faults.add(keys, path, _sentence(str(error)), remedy)
        return None
    except (RangeError, ArithmeticError) as error:
        path = f"{tree.prefix}mechanism" if table is None else table.path
        keys = _keys_of(tree, "mechanism") if table is None else table.keys
        faults.add(keys, path, _sentence(str(error)), "Check its numbers and their units.")
        return None


def _sentence(text: str) -> str:
    return text if text.endswith(".") else f"{text}."


def _keys_of(tree: Tree, field: str) -> tuple[str | int, ...]:
    """Address in the file of ``mechanism.lead`` or ``balance.1.mass``."""
    section, _, rest = field.partition(".")
    tables = tree.many(section)
    number, _, tail = rest.partition(".")
    if number.isdecimal() and 1 <= int(number) <= len(tables):
        return _inner(tables[int(number) - 1], tail)
    return _inner(tables[0], rest) if tables else (section,)


def _inner(table: Stated, field: str) -> tuple[str | int, ...]:
    """Address of a field of a table, or of the table where the field is not stated."""
    keys = table.keys
    for part in field.split("."):
        key: str | int = table.spelled.get(part, part)
        keys = (*keys, int(part) - 1 if part.isdecimal() else key)
    return keys
