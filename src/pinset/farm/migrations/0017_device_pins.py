"""Keep a PIN for people who change on a shared tablet."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("farm", "0016_heated_since")]

    operations = [
        migrations.AddField(
            model_name="person",
            name="pin",
            field=models.CharField(blank=True, default="", max_length=128),
        ),
    ]
