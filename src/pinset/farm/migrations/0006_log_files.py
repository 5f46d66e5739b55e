"""Keeps the logs that cooks were judged by."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("farm", "0005_sealed_registers")]

    operations = [
        migrations.CreateModel(
            name="LogFile",
            fields=[
                (
                    "digest",
                    models.CharField(max_length=64, primary_key=True, serialize=False),
                ),
                ("name", models.CharField(blank=True, max_length=120)),
                ("size", models.BigIntegerField()),
                ("content", models.BinaryField()),
            ],
        ),
    ]
