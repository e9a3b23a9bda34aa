"""``python -m tests.dependency_audit``: has any package that we pin a known hole?

pip-audit asks PyPI's list of holes about each line of requirements.txt. Where that list cannot be reached, as
behind a registry that carries packages only, it passes packages over; this says so, never that they are sound.
"""

import json
import subprocess
import sys
from pathlib import Path

SOUND, HOLES, NOT_ALL_AUDITED = 0, 1, 3
REQUIREMENTS = Path(__file__).parent.parent / "requirements.txt"


def verdict(report: str) -> tuple[int, str]:
    """Return the exit status and what to say for pip-audit's JSON; anything else is no audit."""
    try:
        packages = json.loads(report)["dependencies"]
    except (ValueError, KeyError, TypeError):
        return NOT_ALL_AUDITED, "NOT AUDITED: pip-audit gave no report."
    holes = [
        f"{package['name']} {package['version']}: {hole['id']}"
        for package in packages
        for hole in package.get("vulns", [])
    ]
    if holes:
        return HOLES, "\n".join(["Known holes:", *holes])
    passed_over = [package["name"] for package in packages if "skip_reason" in package]
    if passed_over or not packages:
        told = f"{len(passed_over)} of {len(packages)} packages"
        return NOT_ALL_AUDITED, f"NOT AUDITED: no list of known holes was found for {told}."
    return SOUND, f"{len(packages)} packages audited, no known hole."


def main() -> int:
    """Ask, say what came of it, and return the exit status."""
    done = subprocess.run(
        [sys.executable, "-m", "pip_audit", "--requirement", str(REQUIREMENTS), "--no-deps", "--disable-pip",
         "--format", "json", "--progress-spinner", "off", "--timeout", "10"],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    status, told = verdict(done.stdout)
    print(told)
    return status


if __name__ == "__main__":
    sys.exit(main())
