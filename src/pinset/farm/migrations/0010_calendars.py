"""Keeps who may fetch the jobs into a calendar, and as what each job was given out."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("farm", "0009_watched_instruments")]

    operations = [
        migrations.CreateModel(
            name="CalendarEvent",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("job", models.CharField(max_length=40, unique=True)),
                ("uid", models.CharField(max_length=36, unique=True)),
                ("digest", models.CharField(max_length=64)),
                ("sequence", models.IntegerField(default=0)),
                ("made_at", models.DateTimeField()),
                ("changed_at", models.DateTimeField(db_index=True)),
            ],
        ),
        migrations.CreateModel(
            name="CalendarLink",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("digest", models.CharField(max_length=64, unique=True)),
                ("nonce", models.CharField(max_length=32)),
                ("made_at", models.DateTimeField()),
                ("read_at", models.DateTimeField(null=True)),
                ("window_at", models.DateTimeField(null=True)),
                ("reads", models.IntegerField(default=0)),
                (
                    "person",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE, to=settings.AUTH_USER_MODEL
                    ),
                ),
            ],
        ),
    ]
