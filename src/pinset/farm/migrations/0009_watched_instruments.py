"""Keeps which of the farm's instruments read a cook that is watched."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("farm", "0008_watched_cooks")]

    operations = [
        migrations.AddField(
            model_name="watchedcook",
            name="instruments",
            field=models.JSONField(default=dict),
        ),
    ]
