"""One settings file for every use. Production is the default; `make run` asks for plain HTTP by HTTPS=0.

Every variable is listed in DEVELOPERS.md. Upper apps are named by string only, so imports stay one-way.
"""

from pathlib import Path

import dj_database_url
import plotly
from csp.constants import NONE, SELF

from garden.count_files import count_in_files
from garden.environment import (
    env_bool,
    env_choice,
    env_date,
    env_folder,
    env_int,
    env_list,
    env_secret,
    env_text,
)
from garden.json_log import logging_settings
from garden.production import check_production

PRODUCTION = env_bool("PRODUCTION", default=False)
"""Whether strangers are served: then nothing that matters is guessed, and what is missing stops the start."""
if PRODUCTION:
    check_production()

BASE_DIR = Path(__file__).resolve().parent.parent
VAR_DIR = env_folder("VAR_DIR", default=BASE_DIR / "var")

DEBUG = env_bool("DEBUG", default=False)
HTTPS = env_bool("HTTPS", default=not DEBUG)
SECRET_KEY = env_secret("SECRET_KEY", own_file=VAR_DIR / "secret_key")
ALLOWED_HOSTS = env_list("ALLOWED_HOSTS", default="localhost,127.0.0.1,[::1]")
CSRF_TRUSTED_ORIGINS = env_list("CSRF_TRUSTED_ORIGINS", default="")
DEMO = env_bool("DEMO", default=False)
"""Whether the sign-in page tells the demo account; its password is in `DEMO_PASSWORD_FILE`."""
DEMO_PASSWORD_FILE = VAR_DIR / "demo_password"
PRETEND_TODAY = env_date("PRETEND_TODAY")
"""A date to show the product on another day of the year; the clock's date where unset."""
PLANNER = env_choice(
    "PLANNER", default="background" if PRODUCTION else "inline", among=("inline", "background")
)
"""Whether the request that changes a garden plans itself, or a `plan_worker` beside the web server does."""
PLAN_SECONDS = env_int("PLAN_MILLISECONDS", default=1200) / 1000
"""Time the planner may take while somebody waits for a page."""
PLAN_SECONDS_BACKGROUND = env_int("PLAN_SECONDS_BACKGROUND", default=10)
"""Time the planner may go on behind the pages."""

METRICS_TOKEN = env_text("METRICS_TOKEN", "")
"""What a scraper shows at `/metrics`; without one there is no such page."""
if METRICS_TOKEN:
    # Before the first count is made: afterwards it is too late to say where.
    count_in_files(VAR_DIR / "metrics")

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.humanize",
    "django.contrib.messages",
    "django.contrib.sessions",
    "django.forms",  # the widgets' own templates, drawn by our renderer
    "garden.apps.ServedFiles",
    "django_htmx",
    "template_partials",
    "csp",
    "allauth",
    "allauth.account",
    "allauth.mfa",
    "allauth.usersessions",
    "django_tasks",
    "django_tasks_db",
    "garden",
    "pens",
    "flocks",
    "rotation",
]

MIDDLEWARE = [
    # The first four stand outermost, so that files, redirects and faults carry their headers too.
    "garden.request_log.RequestLog",
    "garden.headers.SafeHeaders",
    "csp.middleware.CSPMiddleware",
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.middleware.gzip.GZipMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "garden.taken_once.SignInFirst",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "allauth.account.middleware.AccountMiddleware",
    "garden.kept_pages.KeptPages",
    "rotation.middleware.MendPlan",
    "garden.middleware.NoSuchId",
    "garden.taken_once.TakenOnce",
    "garden.middleware.OnceMore",
]

ROOT_URLCONF = "garden.urls"
WSGI_APPLICATION = "garden.wsgi.application"
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "garden.context.page",
                "rotation.context.planning",
            ],
        },
    },
]

DATABASE_URL = env_text("DATABASE_URL", f"sqlite:///{VAR_DIR / 'garden.sqlite3'}")
DATABASES = {"default": dj_database_url.parse(DATABASE_URL, conn_max_age=60)}
IS_ON_SQLITE = DATABASES["default"]["ENGINE"].endswith("sqlite3")
if IS_ON_SQLITE:
    DATABASES["default"]["OPTIONS"] = {
        # Readers never wait for a writer, a writer takes its lock at once, and a busy one is waited for. What
        # was answered for is on the disk (FULL): with NORMAL a power cut may take the last entries with it.
        "transaction_mode": "IMMEDIATE",
        "timeout": 10,
        "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;",
    }

# Plans, sizings, exports and letters wait in the database, whatever machine works them off.
TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}

# One count for all of the server's processes, so that a guesser does not get a new set of tries from each.
# Beside a database server there may be several machines: then they count in what they share.
CACHE_PLACE = (
    ("filebased.FileBasedCache", VAR_DIR / "cache")
    if IS_ON_SQLITE
    else ("db.DatabaseCache", "tillfeather_cache")
)
CACHES = {
    "default": {
        "BACKEND": f"django.core.cache.backends.{CACHE_PLACE[0]}",
        "LOCATION": CACHE_PLACE[1],
        "OPTIONS": {"MAX_ENTRIES": 10_000},
    }
}

PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": f"django.contrib.auth.password_validation.{name}"}
    for name in (
        "UserAttributeSimilarityValidator",
        "MinimumLengthValidator",
        "CommonPasswordValidator",
        "NumericPasswordValidator",
    )
]
AUTHENTICATION_BACKENDS = ["allauth.account.auth_backends.AuthenticationBackend"]
LOGIN_URL = "account_login"
LOGIN_REDIRECT_URL = "front"
ACCOUNT_LOGIN_METHODS = {"username", "email"}
ACCOUNT_SIGNUP_FIELDS = ["username*", "email*", "password1*", "password2*"]
ACCOUNT_FORMS = {
    "login": "garden.account_forms.SignInForm",
    "signup": "garden.account_forms.SignUpForm",
    "change_password": "garden.account_forms.NewPasswordForm",
    "reset_password": "garden.account_forms.ForgottenPasswordForm",
    "reset_password_from_key": "garden.account_forms.LinkedPasswordForm",
    "reauthenticate": "garden.account_forms.PasswordAgainForm",
}
# Who signs up with an address that has an account is not told so; nothing is sent there but what it asks for.
ACCOUNT_PREVENT_ENUMERATION = "strict"
ACCOUNT_ADAPTER = "garden.account_adapters.Accounts"
MFA_SUPPORTED_TYPES = ["totp", "webauthn", "recovery_codes"]
MFA_PASSKEY_LOGIN_ENABLED = True
MFA_ADAPTER = "garden.account_adapters.SecondSteps"
MFA_FORMS = {
    "authenticate": "garden.account_forms.CodeForm",
    "reauthenticate": "garden.account_forms.CodeAgainForm",
    "activate_totp": "garden.account_forms.FirstCodeForm",
    "add_webauthn": "garden.account_forms.NewKeyForm",
    "authenticate_webauthn": "garden.account_forms.KeyForm",
    "reauthenticate_webauthn": "garden.account_forms.KeyAgainForm",
    "login_webauthn": "garden.account_forms.KeyAloneForm",
}
MFA_TOTP_ISSUER = "Tillfeather"
MFA_TOTP_TOLERANCE = 1
"""A phone's clock may be half a minute off."""
# Addresses are never confirmed here, for a server may have no mail: a second step is not refused for that.
MFA_ALLOW_UNVERIFIED_EMAIL = True
MFA_WEBAUTHN_ALLOW_INSECURE_ORIGIN = not HTTPS
ACCOUNT_EMAIL_VERIFICATION = "none"
ACCOUNT_LOGOUT_REDIRECT_URL = "account_login"
ACCOUNT_SESSION_REMEMBER = True
EMAIL_HOST = env_text("EMAIL_HOST", "")
"""The mail server; without one, letters are written to the console, and to nowhere with “none”."""
LETTERS_GO = {"": "console", "none": "dummy"}.get(EMAIL_HOST, "smtp")
EMAIL_BACKEND = f"django.core.mail.backends.{LETTERS_GO}.EmailBackend"
EMAIL_PORT = env_int("EMAIL_PORT", default=587)
EMAIL_HOST_USER = env_text("EMAIL_HOST_USER", "")
EMAIL_HOST_PASSWORD = env_text("EMAIL_HOST_PASSWORD", "")
EMAIL_USE_SSL = env_bool("EMAIL_USE_SSL", default=False)
EMAIL_USE_TLS = env_bool("EMAIL_USE_TLS", default=not EMAIL_USE_SSL)
EMAIL_TIMEOUT = 20
DEFAULT_FROM_EMAIL = env_text("EMAIL_FROM", "Tillfeather <tillfeather@localhost>")

LANGUAGE_CODE = "en-gb"
LANGUAGES = [("en-gb", "English"), ("es", "Español")]
LANGUAGE_COOKIE_NAME = "language"
USE_I18N = True
USE_TZ = True
TIME_ZONE = "UTC"
USE_THOUSAND_SEPARATOR = True

STATIC_URL = "static/"
STATIC_ROOT = VAR_DIR / "static"
STATICFILES_DIRS = [
    BASE_DIR / "static",
    ("plotly", Path(plotly.__file__).parent / "package_data"),
]
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"},
}
WHITENOISE_MAX_AGE = 3600

PHOTO_DIR = VAR_DIR / "photos"
FILE_UPLOAD_HANDLERS = [
    "garden.upload_limit.LimitedUpload",
    "django.core.files.uploadhandler.MemoryFileUploadHandler",
    "django.core.files.uploadhandler.TemporaryFileUploadHandler",
]

SECURE_SSL_REDIRECT = HTTPS
SECURE_REDIRECT_EXEMPT = [r"^health/$", r"^healthz$", r"^readyz$", r"^metrics$"]
SECURE_HSTS_SECONDS = env_int("HSTS_SECONDS", default=31_536_000) if HTTPS else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE_HSTS_PRELOAD = HTTPS
SECURE_REFERRER_POLICY = "same-origin"
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = HTTPS
SESSION_COOKIE_HTTPONLY = True
X_FRAME_OPTIONS = "DENY"
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = "Lax"
if env_bool("BEHIND_PROXY", default=False):
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    ALLAUTH_TRUSTED_PROXY_COUNT = 1

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF, "data:", "blob:"],
        "font-src": [SELF],
        "connect-src": [SELF],
        "object-src": [NONE],
        "manifest-src": [SELF],
        "worker-src": [SELF],
        "form-action": [SELF],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
    },
}

LOG_FORMAT = env_choice(
    "LOG_FORMAT", default="json" if PRODUCTION else "text", among=("json", "text")
)
LOGGING = logging_settings(as_json=LOG_FORMAT == "json")

FORM_RENDERER = "garden.forms.PageRenderer"
