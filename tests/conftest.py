"""What holds for every test: the same examples in every run, no test judged by the clock."""

from __future__ import annotations

import gc
from collections.abc import Iterator

import pytest
from hypothesis import settings

from support.postgresql import Cluster, NoServerError, cluster

settings.register_profile("dutyline", deadline=None, derandomize=True, print_blob=True)
settings.load_profile("dutyline")


@pytest.fixture(autouse=True, scope="session")
def _no_real_home(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Whatever is kept without saying where is kept in a folder of the tests."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_DATA_HOME", str(tmp_path_factory.mktemp("data-home")))
        yield


@pytest.fixture(scope="session")
def postgresql() -> Iterator[Cluster]:
    """A PostgreSQL server of the tests' own."""
    try:
        with cluster() as found:
            yield found
    except NoServerError as reason:
        pytest.skip(str(reason))


def pytest_collection_finish() -> None:
    """Ten thousand collected tests are no garbage: they are not looked through again and again."""
    gc.collect()
    gc.freeze()
