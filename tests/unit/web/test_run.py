"""The socket of the server."""

from __future__ import annotations

import asyncio
import socket

from dutyline.app.serve import Place
from dutyline.web.run import listening
from support import loops


def test_no_piece_of_an_answer_waits_for_the_receipt_of_the_one_before():
    """RFC 9293, section 3.7.4: without TCP_NODELAY a small segment waits; receipts take 40 ms."""

    async def accepted() -> int:
        said: asyncio.Future[int] = asyncio.get_running_loop().create_future()

        async def met(_: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
            own = writer.get_extra_info("socket")
            said.set_result(own.getsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY))
            writer.close()

        own = listening(Place("127.0.0.1", 0, ""))
        async with await asyncio.start_server(met, sock=own):
            _, writer = await asyncio.open_connection(*own.getsockname())
            found = await said
            writer.close()
            return found

    assert loops.run(accepted())
