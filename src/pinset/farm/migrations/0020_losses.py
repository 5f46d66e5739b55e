"""Keeps what was reckoned of losses."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("farm", "0019_about")]

    operations = [
        migrations.CreateModel(
            name="LossReckoning",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("reckoned_at", models.DateTimeField()),
                ("entries", models.BigIntegerField()),
                ("register", models.BigIntegerField()),
                ("method", models.PositiveIntegerField()),
                ("seconds", models.FloatField()),
                ("body", models.JSONField(default=dict)),
            ],
        ),
    ]
