"""The bare peer as a server runs it."""

from django.core.wsgi import get_wsgi_application

application = get_wsgi_application()
