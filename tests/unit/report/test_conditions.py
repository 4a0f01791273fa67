"""What the customer must keep, in the words of page one."""

from tests.support.axis_files import LIFT, edited

from dutyline.axis.read import read_axis
from dutyline.report.sections.conditions import _loads, _ranges


def test_a_range_is_not_promised_to_be_at_most_its_middle():
    axis = read_axis("a.toml", text=edited(LIFT, ('"12 kg"', '"60..80 kg"')))
    (heaviest,) = _loads(axis)
    assert "70" not in heaviest
    (said,) = _ranges(axis)
    assert "judged at 70\u00a0kg, the middle of 60 to 80\u00a0kg; ask or judge" in said
