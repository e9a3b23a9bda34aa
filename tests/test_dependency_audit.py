"""An audit that reached nothing must not look like one that found nothing."""

import json

import pytest

from tests.dependency_audit import HOLES, NOT_ALL_AUDITED, SOUND, verdict

FINE = {"name": "a", "version": "1", "vulns": []}
BAD = {"name": "b", "version": "2", "vulns": [{"id": "CVE-1"}]}
UNKNOWN = {"name": "c", "skip_reason": "Dependency not found on PyPI"}


@pytest.mark.parametrize(
    ("packages", "status", "said"),
    [
        ([FINE], SOUND, "1 packages audited, no known hole."),
        ([FINE, BAD], HOLES, "b 2: CVE-1"),
        ([FINE, UNKNOWN], NOT_ALL_AUDITED, "NOT AUDITED"),
        ([BAD, UNKNOWN], HOLES, "b 2: CVE-1"),
        ([], NOT_ALL_AUDITED, "NOT AUDITED"),
    ],
)
def test_only_a_whole_audit_calls_packages_sound(packages, status, said):
    found, told = verdict(json.dumps({"dependencies": packages}))
    assert found == status
    assert said in told


def test_no_report_is_no_audit():
    assert verdict("Traceback")[0] == NOT_ALL_AUDITED
