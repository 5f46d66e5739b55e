"""Keeps since when a watched cook is heated, where somebody said it."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("farm", "0015_photos")]

    operations = [
        migrations.AddField(
            model_name="watchedcook",
            name="heated_since",
            field=models.DateTimeField(null=True),
        ),
    ]
