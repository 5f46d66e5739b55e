"""Keeps cooks that are watched, what was read of them, and the key of a sensor."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("farm", "0007_instruments")]

    operations = [
        migrations.CreateModel(
            name="SensorKey",
            fields=[
                ("digest", models.CharField(max_length=64, primary_key=True, serialize=False)),
                ("made_at", models.DateTimeField()),
                ("made_by", models.CharField(blank=True, max_length=40)),
            ],
        ),
        migrations.CreateModel(
            name="WatchedCook",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("code", models.CharField(max_length=80, unique=True)),
                ("client_id", models.CharField(max_length=32, unique=True)),
                ("steriliser", models.CharField(max_length=60)),
                ("cook_kind", models.CharField(max_length=60)),
                ("job", models.CharField(blank=True, max_length=40)),
                ("cook", models.CharField(blank=True, max_length=80)),
                ("load", models.JSONField()),
                ("rule", models.CharField(max_length=60)),
                ("began_at", models.DateTimeField()),
                ("begun_by", models.CharField(blank=True, max_length=40)),
                ("ended_at", models.DateTimeField(null=True)),
                ("ended_by", models.CharField(blank=True, max_length=40)),
            ],
            options={
                "indexes": [
                    models.Index(
                        condition=models.Q(("ended_at", None)),
                        fields=["began_at"],
                        name="watched_cook_open",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="WatchedReading",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("client_id", models.CharField(max_length=32)),
                ("at", models.DateTimeField()),
                ("what", models.CharField(max_length=12)),
                ("value", models.FloatField()),
                ("source", models.CharField(max_length=8)),
                ("by", models.CharField(blank=True, max_length=80)),
                ("recorded_at", models.DateTimeField(db_index=True)),
                ("is_removed", models.BooleanField(default=False)),
                (
                    "watched",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.CASCADE,
                        to="farm.watchedcook",
                    ),
                ),
            ],
            options={
                "indexes": [models.Index(fields=["watched", "at"], name="watched_reading_time")],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("watched", "client_id", "what"), name="watched_reading_once"
                    )
                ],
            },
        ),
    ]
