"""The house rules that a machine can check: who imports whom, how long things get, what is never written."""

import ast
import os
import re
import subprocess
import sys
import tomllib
from pathlib import Path

ROOT = Path(__file__).parent.parent
APPS = ("garden", "pens", "flocks", "rotation")
MODULE_LINES, FUNCTION_LINES, TEMPLATE_LINES = 300, 50, 150
CONTRACTS = tomllib.loads((ROOT / "pyproject.toml").read_text())["tool"]["importlinter"][
    "contracts"
]
PURE = CONTRACTS[1]["source_modules"]


def sources() -> list[Path]:
    """Return every module of the four apps, migrations apart."""
    found = [path for app in APPS for path in (ROOT / app).rglob("*.py")]
    return [path for path in found if "migrations" not in path.parts]


def own_lines(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Return a function's lines less its docstring's."""
    first = function.body[0]
    is_doc = isinstance(first, ast.Expr) and isinstance(first.value, ast.Constant)
    doc_lines = first.end_lineno - first.lineno + 1 if is_doc else 0
    return function.end_lineno - function.lineno + 1 - doc_lines


def test_imports_go_one_way_and_pure_modules_know_no_django():
    command = Path(sys.executable).with_name("lint-imports")
    done = subprocess.run([command], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def test_pure_modules_run_without_django():
    # one process for all: what may not be imported by any of them cannot be lent by another
    program = f"import sys; sys.modules['django'] = None; import {', '.join(PURE)}"
    environment = {"PATH": os.environ["PATH"], "PYTHONPATH": str(ROOT)}
    done = subprocess.run(
        [sys.executable, "-c", program],
        env=environment, cwd=ROOT, check=False, capture_output=True, text=True,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr


def test_modules_functions_and_templates_stay_small():
    long = [
        f"{path.relative_to(ROOT)}: {count} lines"
        for path in sources()
        if (count := path.read_text().count("\n")) > MODULE_LINES
    ]
    for path in sources():
        functions = ast.walk(ast.parse(path.read_text()))
        long += [
            f"{path.relative_to(ROOT)}: {function.name} has {own_lines(function)} lines"
            for function in functions
            if isinstance(function, ast.FunctionDef) and own_lines(function) > FUNCTION_LINES
        ]
    long += [
        f"{path.relative_to(ROOT)}: {count} lines"
        for path in (ROOT / "templates").rglob("*.html")
        if (count := path.read_text().count("\n")) > TEMPLATE_LINES
    ]
    assert long == []


def test_every_function_says_what_it_takes_and_returns():
    bare = [
        f"{path.relative_to(ROOT)}: {node.name}"
        for path in sources()
        for node in ast.walk(ast.parse(path.read_text()))
        if isinstance(node, ast.FunctionDef) and node.returns is None
    ]
    assert bare == []


def test_no_module_is_a_drawer():
    drawers = {"utils", "helpers", "common", "misc"}
    assert [path for path in sources() if path.stem in drawers] == []


def test_pages_carry_no_inline_script_or_style():
    inline = re.compile(r"<script(?![^>]*\bsrc=)[^>]*>|\sstyle=|\son[a-z]+=")
    allowed = re.compile(r'type="application/json"')
    guilty = [
        f"{path.relative_to(ROOT)}: {found.group()}"
        for path in (ROOT / "templates").rglob("*.html")
        for found in inline.finditer(path.read_text())
        if not allowed.search(found.group())
    ]
    assert guilty == []


def test_colours_are_named_in_one_block_only():
    css = (ROOT / "static/app.css").read_text()
    tokens, rules = css.split("/* Ground rules */")
    assert "--tape: #ffc629" in tokens
    # The tape's own ink is the same in every mode, and paper is white.
    strange = set(re.findall(r"#[0-9a-fA-F]{3,8}\b", rules)) - {"#14191c", "#fff", "#000"}
    assert strange == set()


def test_every_setting_from_the_environment_is_in_the_developers_page():
    settings = (ROOT / "garden/settings.py").read_text()
    page = (ROOT / "DEVELOPERS.md").read_text()
    names = set(re.findall(r'env_\w+\(\s*"([A-Z_]+)"', settings))
    assert names
    assert {name for name in names if f"`{name}`" not in page} == set()


def test_the_readme_names_only_commands_that_are_there():
    makefile = (ROOT / "Makefile").read_text()
    for name in re.findall(r"`make ([a-z]+)", (ROOT / "README.md").read_text()):
        assert re.search(rf"^{name}:", makefile, re.MULTILINE), name
