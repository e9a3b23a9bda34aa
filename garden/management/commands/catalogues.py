"""Bring the catalogues of the languages up to date with the source, and compile them."""

from argparse import ArgumentParser

from django.core.management.base import BaseCommand

from garden.catalogues import FLOORS, TRANSLATED, bring_up_to_date, compile_all, faults


class Command(BaseCommand):
    """``manage.py catalogues [FLOOR …]``; ``--compile-only`` leaves the catalogues as they are."""

    help = __doc__
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Take the floors, and whether only to compile."""
        parser.add_argument("floors", nargs="*", default=FLOORS, metavar="FLOOR")
        parser.add_argument("--compile-only", action="store_true", help="gather nothing")

    def handle(self, *, floors: list[str], compile_only: bool, **_options: object) -> None:
        """Write and compile; tell what is still to translate."""
        if not compile_only:
            for floor in floors:
                for language in TRANSLATED:
                    bring_up_to_date(floor, language)
                    lacking = faults(floor, language)
                    self.stdout.write(f"{floor} in {language}: {len(lacking)} to mend")
                    self.stdout.writelines(f"  {line}\n" for line in lacking[:20])
        compile_all()
