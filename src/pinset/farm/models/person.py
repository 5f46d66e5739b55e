"""People who sign in or are named in entries."""

from __future__ import annotations

import secrets
from typing import ClassVar

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models


def new_key() -> str:
    """Return a fresh opaque key: 32 hexadecimal signs that say nothing about the person."""
    return secrets.token_hex(16)


class Role(models.TextChoices):
    """What a person may do."""

    OWNER = "owner"  # everything, settings and people among it
    WORKER = "worker"  # the day's work and the books


class PersonManager(BaseUserManager["Person"]):
    """Creates people."""

    def create_person(
        self,
        code: str,
        *,
        name: str = "",
        role: str = Role.WORKER,
        password: str | None = None,
        key: str = "",
    ) -> Person:
        """Write down a person; without a password they are named in entries but cannot sign in."""
        person = self.model(code=code, name=name or code, role=role, key=key or new_key())
        person.set_password(password)
        person.save(using=self._db)
        return person

    def owner_has_password(self) -> bool:
        """Whether some active owner can sign in."""
        owners = self.filter(role=Role.OWNER, is_active=True)
        return any(owner.has_usable_password() for owner in owners)


class Person(AbstractBaseUser):
    """A person. Entries' hashes hold only the ``key``, so the rest can be forgotten."""

    code = models.CharField(max_length=40, unique=True)
    name = models.CharField(max_length=120, blank=True)
    role = models.CharField(max_length=10, choices=Role, default=Role.WORKER)
    is_active = models.BooleanField(default=True)
    key = models.CharField(max_length=32, unique=True, default=new_key, editable=False)
    is_forgotten = models.BooleanField(default=False)
    pin = models.CharField(max_length=128, blank=True, default="")  # hashed; empty: none

    USERNAME_FIELD = "code"
    REQUIRED_FIELDS: ClassVar[list[str]] = []

    objects: ClassVar[PersonManager] = PersonManager()

    class Meta:
        """Storage."""

        ordering = ("code",)

    def __str__(self) -> str:
        """Return the name, or the code where there is none."""
        return self.name or self.code

    @property
    def is_owner(self) -> bool:
        """Whether the person may change settings and people."""
        return self.role == Role.OWNER
