"""Lets places for what fits no promise stand in the registers."""

from django.db import migrations, models

KINDS = (
    "farm", "room", "steriliser", "bench", "instrument", "worker", "vessel", "route", "variety",
    "culture", "buyer", "promise", "outage", "pin", "outlet",
)  # fmt: skip


class Migration(migrations.Migration):
    dependencies = [("farm", "0013_questions")]

    operations = [
        migrations.AlterField(
            model_name="registerrow",
            name="kind",
            field=models.CharField(
                choices=[(kind, kind.capitalize()) for kind in KINDS], max_length=12
            ),
        ),
    ]
