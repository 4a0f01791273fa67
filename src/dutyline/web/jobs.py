"""Files on their way to a page: a line of JSON for each stage, then the bytes.

The stages run while the answer is being sent. When the page goes away or cancels, no further stage
begins and the place is free again.
"""

from __future__ import annotations

from collections.abc import AsyncIterator

import orjson
from starlette.responses import StreamingResponse
from starlette.types import Receive, Scope, Send

from dutyline.app.workbench.exports import Export, Job
from dutyline.core.errors import DutylineError, InputError
from dutyline.web.faults import fault_json
from dutyline.web.timed import computed

_CHUNK = 65_536


class JobAnswer(StreamingResponse):
    """The progress of a job, and its file.

    Parameters
    ----------
    job : Job
    """

    def __init__(self, job: Job) -> None:
        super().__init__(_told(job), media_type="application/octet-stream")
        self.job = job

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Send while the page listens; free the place in any case."""
        try:
            await super().__call__(scope, receive, send)
        finally:
            self.job.close()


async def _told(job: Job) -> AsyncIterator[bytes]:
    while True:
        try:
            found = await computed(job.next)
        except DutylineError as error:
            faults = error.faults if isinstance(error, InputError) else ()
            yield _line({"error": str(error), "faults": [fault_json(f) for f in faults]})
            return
        if found is None:
            return
        if isinstance(found, Export):
            size = len(found.content)
            yield _line({"name": found.name, "kind": found.kind, "bytes": size})
            for start in range(0, size, _CHUNK):
                yield found.content[start : start + _CHUNK]
            return
        yield _line({"stage": found.text, "step": found.step, "of": found.of})


def _line(told: dict[str, object]) -> bytes:
    return orjson.dumps(told) + b"\n"
