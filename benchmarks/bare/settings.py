"""Settings of the bare peer: the same database, the same server, nothing round the view."""

from pinset.settings import DATABASES, DEFAULT_AUTO_FIELD, INSTALLED_APPS, USE_TZ

__all__ = ["DATABASES", "DEFAULT_AUTO_FIELD", "INSTALLED_APPS", "USE_TZ"]
SECRET_KEY = "of the benchmark only"  # noqa: S105
ALLOWED_HOSTS = ["127.0.0.1"]
ROOT_URLCONF = "bare.pages"
AUTH_USER_MODEL = "farm.Person"
MIDDLEWARE: list[str] = []
TEMPLATES: list[dict[str, object]] = []
