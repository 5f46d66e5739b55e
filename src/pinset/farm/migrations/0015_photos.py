"""Keeps the photos taken at looks."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("farm", "0015_label_prints")]

    operations = [
        migrations.CreateModel(
            name="Photo",
            fields=[
                ("digest", models.CharField(max_length=64, primary_key=True, serialize=False)),
                ("content", models.BinaryField(blank=True)),
                ("is_forgotten", models.BooleanField(default=False)),
            ],
        ),
    ]
