"""Lets chores and written instructions stand in the registers."""

from django.db import migrations, models

KINDS = (
    "farm", "room", "steriliser", "bench", "instrument", "worker", "vessel", "route", "variety",
    "culture", "buyer", "promise", "outage", "pin", "outlet", "label", "chore", "instruction",
)  # fmt: skip


class Migration(migrations.Migration):
    dependencies = [("farm", "0017_device_pins")]

    operations = [
        migrations.AlterField(
            model_name="registerrow",
            name="kind",
            field=models.CharField(
                choices=[(kind, kind.capitalize()) for kind in KINDS], max_length=12
            ),
        ),
    ]
