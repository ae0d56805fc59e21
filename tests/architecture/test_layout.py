"""Where things stand, what they are called, and what goes into the wheel.

Source: DEVELOPERS.md, "The house" and "The laws" (the project's own decisions); reserved file
names: Microsoft, "Naming Files, Paths, and Namespaces" (from memory).
"""

from __future__ import annotations

import ast
import re
import shutil
import subprocess
import tomllib
from collections.abc import Iterable, Iterator
from fnmatch import fnmatch
from pathlib import Path

import pytest

from tests.architecture.house import PACKAGES, ROOT, House, Sketch, called

TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "kb", "wizard", "tests", "data_demo"}
VAGUE = frozenset(
    ("util", "utils", "helper", "helpers", "common", "manager", "managers", "base", "misc")
)
RESERVED = frozenset(
    ("con", "prn", "aux", "nul", *(f"com{n}" for n in range(10)), *(f"lpt{n}" for n in range(10)))
)
LONGEST = 400  # lines
POSIX_ONLY = frozenset(
    ("fcntl", "grp", "posix", "pty", "pwd", "resource", "syslog", "termios", "tty")
)
POSIX_CALLS = frozenset(
    ("fork", "geteuid", "getuid", "chown", "lchown", "mkfifo", "setsid", "killpg")
)
READS_TEXT = frozenset(("open", "read_text", "write_text"))
LEFT_OVER = re.compile(r"\b(TODO|FIXME|XXX|HACK)\b")
OUTSIDE = re.compile(r"\bhttps?://(?!localhost\b|127\.0\.0\.1\b)[A-Za-z0-9][\w.-]*")
MACHINE_PATH = re.compile(r"""(?:^|[\s"'(=])(/[a-z]+/|[A-Z]:\\)[\w.-]""")
WRITTEN_BY_US = (".py", ".toml", ".csv", ".md", ".mako", ".css")


def project_files(root: Path) -> list[Path]:
    """The project's files, relative to its root: those under version control where there is some.

    A copy without version control (an unpacked archive) is read from the folder itself, less
    what `.gitignore` names.
    """
    git = shutil.which("git")
    if git and (root / ".git").exists():
        answer = subprocess.run(
            [git, "-C", str(root), "ls-files", "-z"],
            capture_output=True,
            check=False,
            encoding="utf-8",
        )
        tracked = [Path(name) for name in answer.stdout.split("\0") if name]
        if answer.returncode == 0 and tracked:
            return [path for path in tracked if (root / path).is_file()]
    return sorted(unignored(root))


def unignored(root: Path) -> Iterator[Path]:
    """Files of a folder, less what its `.gitignore` names and what an archive adds."""
    rules = (root / ".gitignore").read_text(encoding="utf-8").split()
    skip = [rule.strip("/") for rule in rules] + [".git", "PKG-INFO"]
    for path in root.rglob("*"):
        parts = path.relative_to(root).parts
        if path.is_file() and not any(fnmatch(part, rule) for part in parts for rule in skip):
            yield path.relative_to(root)


def strangers(files: Iterable[Path]) -> set[str]:
    """What stands at the top and does not belong there, and what is missing from it."""
    there = {path.parts[0] for path in files if not path.parts[0].startswith(".")}
    return there ^ TOP


def vague(files: Iterable[Path]) -> list[str]:
    """Files and folders whose name says nothing."""
    return sorted(
        {
            str(Path(*path.parts[: depth + 1]).as_posix())
            for path in files
            for depth, part in enumerate(path.parts)
            if part.partition(".")[0].lower().strip("_") in VAGUE
        }
    )


def unsafe_on_windows(files: Iterable[Path]) -> list[str]:
    """File names Windows cannot hold, and pairs it cannot tell apart."""
    seen: dict[str, str] = {}
    findings = []
    for path in files:
        name = path.as_posix()
        bad_part = any(
            part.partition(".")[0].lower() in RESERVED
            or part.endswith((" ", "."))
            or re.search(r'[<>:"\\|?*\x00-\x1f]', part)
            for part in path.parts
        )
        twin = seen.setdefault(name.lower(), name)
        if bad_part or twin != name:
            findings.append(name)
    return findings


def busy_inits(house: House) -> list[str]:
    """Package files that hold more than a docstring."""
    return [
        f"{module.name}:{step.lineno} does something when the package is imported"
        for module in house.modules.values()
        if module.is_package
        for step in module.tree.body
        if not (isinstance(step, ast.Expr) and isinstance(step.value, ast.Constant))
    ]


def too_long(root: Path, files: Iterable[Path]) -> list[str]:
    """Source files nobody reads to the end."""
    return [
        f"{path.as_posix()} has {lines} lines"
        for path in files
        if path.suffix == ".py"
        if (lines := len((root / path).read_text(encoding="utf-8").splitlines())) > LONGEST
    ]


def posix_only(house: House) -> list[str]:
    """What Windows does not have, and text read in whatever encoding the machine prefers."""
    findings = []
    for module in house.modules.values():
        for found in house.imports(module):
            if found.target.partition(".")[0] in POSIX_ONLY:
                findings.append(f"{module.name}:{found.line} imports {found.target}")
        for node in ast.walk(module.tree):
            if isinstance(node, ast.Call):
                if called(node) in POSIX_CALLS:
                    findings.append(f"{module.name}:{node.lineno} calls {called(node)}")
                elif called(node) in READS_TEXT and not names_encoding(node):
                    findings.append(f"{module.name}:{node.lineno} names no encoding")
    return findings


def names_encoding(call: ast.Call) -> bool:
    """Whether a call that may read or write text names an encoding, or works on bytes."""
    words = [a.value for a in call.args if isinstance(a, ast.Constant) and isinstance(a.value, str)]
    words += [
        k.value.value
        for k in call.keywords
        if k.arg == "mode" and isinstance(k.value, ast.Constant) and isinstance(k.value.value, str)
    ]
    in_bytes = any(re.fullmatch(r"[rwxa]?b[+]?|[rwxa][+]?b", word) for word in words)
    positional = called(call) == "read_text" and bool(call.args)
    return in_bytes or positional or any(k.arg in ("encoding", None) for k in call.keywords)


SVG = "http://www.w3.org/2000/svg"  # the name the standard gives the format; nobody is called there


def speaks_of_elsewhere(root: Path, files: Iterable[Path]) -> list[str]:
    """Work left over, addresses of hosts and places on one machine, in what is shipped."""
    findings = []
    for path in files:
        if path.suffix in WRITTEN_BY_US and (path.parts[0] in PACKAGES or len(path.parts) == 1):
            lines = (root / path).read_text(encoding="utf-8").splitlines()
            findings += [
                f"{path.as_posix()}:{number} {found[0].strip()}"
                for number, line in enumerate(lines, start=1)
                for pattern in (LEFT_OVER, OUTSIDE, MACHINE_PATH)
                if (found := pattern.search(line.replace(SVG, "")))
            ]
    return findings


def shipped_tests(house: House) -> list[str]:
    """Tests, and imports of tests, in what is shipped."""
    return [
        module.name
        for module in house.modules.values()
        if re.match(r"test_|conftest$", module.path.stem)
        or any(
            found.target.partition(".")[0] in ("tests", "pytest", "hypothesis")
            for found in house.imports(module)
        )
    ]


def left_out(root: Path) -> list[str]:
    """Files of the packages that a rule of `.gitignore` would keep out of the wheel."""
    kept = set(unignored(root))
    there = (path for package in PACKAGES for path in (root / package).rglob("*"))
    return sorted(
        path.relative_to(root).as_posix()
        for path in there
        if path.is_file() and "__pycache__" not in path.parts and path.relative_to(root) not in kept
    )


@pytest.fixture(scope="module")
def files() -> list[Path]:
    return project_files(ROOT)


@pytest.fixture(scope="module")
def pyproject() -> dict[str, dict[str, object]]:
    return tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))


def test_the_top_holds_what_it_should_and_no_more(files: list[Path]) -> None:
    assert not strangers(files)


def test_names_say_something(files: list[Path]) -> None:
    assert not vague(files)


def test_windows_can_hold_every_file(files: list[Path]) -> None:
    assert not unsafe_on_windows(files)


def test_packages_do_nothing_when_imported(house: House) -> None:
    assert not busy_inits(house)


def test_every_file_can_be_read_to_the_end(files: list[Path]) -> None:
    assert not too_long(ROOT, files)


def test_the_code_runs_on_windows_too(house: House) -> None:
    assert not posix_only(house)


def test_the_project_speaks_of_itself_alone(files: list[Path]) -> None:
    assert not speaks_of_elsewhere(ROOT, files)


def test_the_wheel_holds_the_packages_and_no_tests(
    pyproject: dict[str, dict[str, object]], house: House
) -> None:
    wheel = pyproject["tool"]["hatch"]["build"]["targets"]["wheel"]  # type: ignore[index]
    assert set(wheel) == {"packages"}
    assert set(wheel["packages"]) == set(PACKAGES)
    assert not shipped_tests(house)
    assert not left_out(ROOT)


def test_the_command_leads_somewhere(pyproject: dict[str, dict[str, object]], house: House) -> None:
    scripts = pyproject["project"]["scripts"]
    assert isinstance(scripts, dict)
    assert set(scripts) == {"trialfit"}
    place, _, name = scripts["trialfit"].partition(":")
    assert place in house.modules
    named = {getattr(node, "name", "") for node in house.modules[place].tree.body}
    assert name in named


# ── each guard on a house that breaks its rule ──────────────────────────────


def test_strangers_at_the_top_are_found() -> None:
    good = [Path(name) for name in sorted(TOP)] + [Path(".gitignore")]
    assert not strangers(good)
    assert strangers([*good[1:], Path("notes.txt")]) == {"notes.txt", good[0].name}


def test_an_unpacked_archive_is_read_from_its_folder(tmp_path: Path) -> None:
    for name in (".gitignore", "PKG-INFO", "kb/plane.py", "kb/__pycache__/plane.pyc", "x.egg-info"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text("__pycache__/\n*.egg-info/\n", encoding="utf-8")
    assert project_files(tmp_path) == [Path(".gitignore"), Path("kb/plane.py")]


def test_a_table_kept_out_of_the_wheel_is_found(tmp_path: Path) -> None:
    for name in (".gitignore", "kb/standards/build/drills.csv", "kb/standards/threads.csv"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text("build/\n", encoding="utf-8")
    assert left_out(tmp_path) == ["kb/standards/build/drills.csv"]


def test_vague_names_are_found() -> None:
    assert vague([Path("kb/utils/plane.py"), Path("wizard/_helpers.py"), Path("kb/plane.py")]) == [
        "kb/utils",
        "wizard/_helpers.py",
    ]


def test_names_windows_cannot_hold_are_found() -> None:
    bad = [Path("kb/aux.py"), Path("kb/a:b.csv"), Path("kb/Plane.py"), Path("kb/plane.py")]
    assert unsafe_on_windows(bad) == ["kb/aux.py", "kb/a:b.csv", "kb/plane.py"]


def test_a_busy_package_is_found(sketch: Sketch) -> None:
    bad = sketch({
        "kb/__init__.py": '"""What is kept."""\n\nfrom kb.store import place\n',
        "wizard/__init__.py": '"""What works things out."""\n',
        "wizard/cli/__init__.py": "VERSION = 1\n",
    })  # fmt: skip
    assert [line.partition(" ")[0] for line in busy_inits(bad)] == ["kb:3", "wizard.cli:1"]


def test_a_long_file_is_found(tmp_path: Path) -> None:
    (tmp_path / "a.py").write_text("x = 1\n" * 401, encoding="utf-8")
    (tmp_path / "b.py").write_text("x = 1\n" * 400, encoding="utf-8")
    assert too_long(tmp_path, [Path("a.py"), Path("b.py")]) == ["a.py has 401 lines"]


def test_what_windows_lacks_is_found(sketch: Sketch) -> None:
    bad = sketch({
        "wizard/desk/jobs.py": "import os\nfrom pathlib import Path\n\n"
        "def go(path, kind):\n"
        "    import fcntl\n"
        "    os.geteuid()\n"
        "    path.read_text()\n"
        "    open(path, 'w')\n"
        "    open(path, 'rb')\n"
        "    path.open(mode='w', encoding='utf-8')\n"
        "    Path('b').open()\n",
    })  # fmt: skip
    assert posix_only(bad) == [
        "wizard.desk.jobs:5 imports fcntl",
        "wizard.desk.jobs:6 calls geteuid",
        "wizard.desk.jobs:7 names no encoding",
        "wizard.desk.jobs:8 names no encoding",
        "wizard.desk.jobs:11 names no encoding",
    ]


def test_words_about_elsewhere_are_found(tmp_path: Path) -> None:
    (tmp_path / "kb").mkdir()
    lines = [
        "x = 1  # TODO later",
        "see https://example.org/page",
        "at http://127.0.0.1:8501/ or http://localhost:8501",
        "open('/home/me/file'), /_stcore/health",
        "a/inner/b is a part of a path, and 3/8-16 a thread",
        "kept in C:\\work",
    ]
    (tmp_path / "kb/plane.py").write_text("\n".join(lines), encoding="utf-8")
    assert speaks_of_elsewhere(tmp_path, [Path("kb/plane.py")]) == [
        "kb/plane.py:1 TODO",
        "kb/plane.py:2 https://example.org",
        "kb/plane.py:4 '/home/m",
        "kb/plane.py:6 C:\\w",
    ]


def test_tests_that_would_be_shipped_are_found(sketch: Sketch) -> None:
    bad = sketch({
        "kb/test_plane.py": "",
        "wizard/desk/jobs.py": "def go():\n    import pytest\n",
        "wizard/desk/demo.py": "",
    })  # fmt: skip
    assert shipped_tests(bad) == ["kb.test_plane", "wizard.desk.jobs"]
