"""Keeps which labels were printed; lets a farm's own label paper stand in the registers."""

from django.db import migrations, models

KINDS = (
    "farm", "room", "steriliser", "bench", "instrument", "worker", "vessel", "route", "variety",
    "culture", "buyer", "promise", "outage", "pin", "outlet", "label",
)  # fmt: skip


class Migration(migrations.Migration):
    dependencies = [("farm", "0014_outlets")]

    operations = [
        migrations.AlterField(
            model_name="registerrow",
            name="kind",
            field=models.CharField(
                choices=[(kind, kind.capitalize()) for kind in KINDS], max_length=12
            ),
        ),
        migrations.CreateModel(
            name="LabelPrint",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("tap", models.CharField(max_length=32)),
                ("lot", models.CharField(db_index=True, max_length=16)),
                ("first", models.PositiveIntegerField()),
                ("count", models.PositiveIntegerField()),
                ("layout", models.CharField(max_length=60)),
                ("next_place", models.PositiveIntegerField()),
                ("person", models.CharField(blank=True, max_length=40)),
                ("at", models.DateTimeField()),
            ],
            options={
                "constraints": (
                    models.UniqueConstraint(
                        fields=("tap", "lot", "first"), name="label_print_once"
                    ),
                ),
                "indexes": (models.Index(fields=["person", "id"], name="label_print_person"),),
            },
        ),
    ]
