"""Fields of ``[[case]]`` and ``[[variant]]``."""

from __future__ import annotations

from dutyline.axis.forms import Field, Section

_SET = 'Paths and what stands there instead, as in set = { "load.mass" = "28 kg" }.'

CASE = Section(
    "case",
    "Cases",
    "The same machine doing something else; every case has to meet.",
    (
        Field("name", "text", "Name", "Your own name; the ledger names the worst case by it.",
              required=True),
        Field("note", "text", "Note", "What the case stands for."),
        Field("set", "changes", "Changes", _SET),
        Field("phase", "rows", "Phases", "A cycle of its own, in place of the phases of the file."),
    ),
    many=True,
)  # fmt: skip

VARIANT = Section(
    "variant",
    "Variants",
    "Another machine: judged by itself with all cases, shown as a difference.",
    (
        Field("name", "text", "Name", "Your own name; --variant asks for it.", required=True),
        Field("note", "text", "Note", "What the variant stands for."),
        Field("set", "changes", "Changes", _SET),
        Field("phase", "rows", "Phases", "A cycle of its own, in place of the phases of the file."),
    ),
    many=True,
)  # fmt: skip
