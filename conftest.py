"""What all tests share, those of `tests` and the examples in the package: a cache of their own."""

import os
from collections.abc import Iterator

import pytest

# Tests run in as many processes as there are processors, so each has one thread, and so have the commands it
# starts; tests of threads set their own number. Linear algebra counts its threads as numpy is loaded.
for _threads in ("HOLESIM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(_threads, "1")


@pytest.fixture(scope="session", autouse=True)
def _own_cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keep what this run works out apart from the user's cache, shared by all its processes."""
    from holesim.common.kernel_cache import set_cache_folder  # noqa: PLC0415 - it loads numpy

    base = tmp_path_factory.getbasetemp()
    shared = base.parent if "PYTEST_XDIST_WORKER" in os.environ else base
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("HOLESIM_CACHE", str(shared / "kept"))
        if (kernels := set_cache_folder()) is not None:
            patch.setenv("NUMBA_CACHE_DIR", kernels)  # compiling takes half a minute
        yield
