"""What pages may load and use: only what this farm serves."""

from __future__ import annotations

POLICY = "default-src 'self'; base-uri 'self'; form-action 'self'; frame-ancestors 'none'"
PERMISSIONS = "camera=(self), geolocation=(), microphone=(), payment=(), usb=()"
