"""The wheel: what is built from the checkout does the main job outside the checkout, with its data inside."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

pytestmark = pytest.mark.behaviour
ROOT = Path(__file__).resolve().parents[2]


def run(*words, **settings):
    """Output of a command that must succeed."""
    done = subprocess.run(words, check=False, capture_output=True, text=True, timeout=240, **settings)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def unpacked(tmp_path_factory):
    """Folder with the wheel's content and nothing else."""
    folder = tmp_path_factory.mktemp("wheel")
    run(sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "--no-build-isolation", "-w", str(folder), str(ROOT))
    wheel, = folder.glob("lamcalc-*.whl")
    run(sys.executable, "-m", "pip", "install", "-q", "--no-deps", "--target", str(folder / "site"), str(wheel))
    return folder / "site"


def test_the_wheel_carries_package_and_data_and_no_tests(unpacked):
    names = {path.relative_to(unpacked).parts[0] for path in unpacked.iterdir()}
    assert {name for name in names if not name.endswith(".dist-info")} <= {"lamcalc", "bin"}
    for path in (ROOT / "data").rglob("*"):
        if path.is_file():
            assert (unpacked / "lamcalc" / "_data" / path.relative_to(ROOT / "data")).read_bytes() == path.read_bytes()
    have = {path.relative_to(unpacked).as_posix() for path in unpacked.rglob("*") if path.suffix != ".pyc"}
    for path in (ROOT / "lamcalc").rglob("*"):
        parts = path.relative_to(ROOT).parts
        if path.is_file() and "__pycache__" not in parts and not any(part.startswith(".") for part in parts):
            assert "/".join(parts) in have


def test_the_wheel_does_the_main_job_outside_the_checkout(unpacked, tmp_path):
    environment = {**os.environ, "PYTHONPATH": str(unpacked)}
    where = run(sys.executable, "-c", "import lamcalc; print(lamcalc.__file__)", env=environment, cwd=tmp_path)
    assert Path(where.strip()).parent == unpacked / "lamcalc"
    from_wheel = run(sys.executable, "-m", "lamcalc", "answer", "--out", "paper", env=environment, cwd=tmp_path)
    elsewhere = tmp_path / "checkout"
    elsewhere.mkdir()
    from_checkout = run(sys.executable, "-m", "lamcalc", "answer", "--out", "paper", cwd=elsewhere,
                        env={**os.environ, "PYTHONPATH": str(ROOT)})
    assert from_wheel == from_checkout
    pages = sorted(path.relative_to(tmp_path / "paper") for path in (tmp_path / "paper").rglob("*") if path.is_file())
    assert pages
    for page in pages:
        assert (tmp_path / "paper" / page).read_bytes() == (elsewhere / "paper" / page).read_bytes(), page
