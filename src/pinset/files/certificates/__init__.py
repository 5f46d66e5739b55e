"""The farm's own certificate authority and the certificate of its server."""
