"""Typed readers of environment variables that fail closed: a value that cannot be read stops the start."""

import os
import secrets
import tempfile
from datetime import date
from pathlib import Path

from django.core.exceptions import ImproperlyConfigured

TRUE, FALSE = {"1", "true", "yes", "on"}, {"0", "false", "no", "off"}


def env_text(name: str, default: str) -> str:
    """Return the variable's text, or `default` where it is unset or blank."""
    return os.environ.get(name, "").strip() or default


def env_bool(name: str, *, default: bool) -> bool:
    """Return a yes/no variable; any other word is an error, never a silent no."""
    word = env_text(name, "1" if default else "0").lower()
    if word not in TRUE | FALSE:
        raise ImproperlyConfigured(f"{name} must be 1 or 0, not {word!r}")
    return word in TRUE


def env_int(name: str, *, default: int) -> int:
    """Return a whole number >= 0."""
    word = env_text(name, str(default))
    if not word.isascii() or not word.isdigit():
        raise ImproperlyConfigured(f"{name} must be a whole number, not {word!r}")
    return int(word)


def env_choice(name: str, *, default: str, among: tuple[str, ...]) -> str:
    """Return one word of a few; any other is an error."""
    word = env_text(name, default)
    if word not in among:
        raise ImproperlyConfigured(f"{name} must be one of {', '.join(among)}, not {word!r}")
    return word


def env_list(name: str, *, default: str) -> list[str]:
    """Return the comma-separated parts, blanks dropped."""
    return [part.strip() for part in env_text(name, default).split(",") if part.strip()]


def env_date(name: str) -> date | None:
    """Return an ISO date, or None where the variable is unset."""
    word = env_text(name, "")
    try:
        return date.fromisoformat(word) if word else None
    except ValueError:
        raise ImproperlyConfigured(f"{name} must be a date like 2026-06-12, not {word!r}") from None


def env_folder(name: str, *, default: Path) -> Path:
    """Return a folder that this account may write to, made where there is none."""
    folder = Path(env_text(name, str(default)))
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            pass
    except OSError as error:
        raise ImproperlyConfigured(f"{name}: cannot write to {folder}: {error.strerror}") from error
    return folder


def env_secret(name: str, *, own_file: Path) -> str:
    """Return a secret from `name`, from the file that `name`_FILE points to, or from `own_file`.

    `own_file` is made on the first start with a random value that only this account can read, so that a
    fresh copy runs without a shared default. Several machines behind one address must share `name`.
    """
    direct, pointed = env_text(name, ""), env_text(f"{name}_FILE", "")
    if direct:
        return direct
    if pointed:
        return _secret_in(Path(pointed), name=f"{name}_FILE")
    if not own_file.exists():
        _make_secret(own_file)
    return _secret_in(own_file, name=str(own_file))


def _make_secret(path: Path) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    draft = path.with_name(f"{path.name}.{os.getpid()}")
    with os.fdopen(os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as handle:
        handle.write(secrets.token_urlsafe(64))
    try:
        # A hard link fails where another process was first, and then both use that one's secret.
        os.link(draft, path)
    except FileExistsError:
        pass
    finally:
        draft.unlink()


def _secret_in(path: Path, *, name: str) -> str:
    try:
        secret = path.read_text().strip()
    except OSError as error:
        raise ImproperlyConfigured(f"{name} cannot be read: {error.strerror}") from error
    if not secret:
        raise ImproperlyConfigured(f"{name} is empty")
    return secret
