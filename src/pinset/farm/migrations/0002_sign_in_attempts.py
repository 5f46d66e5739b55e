"""Keep refused attempts to sign in for a while."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("farm", "0001_ledger")]

    operations = [
        migrations.CreateModel(
            name="SignInAttempt",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=120)),
                ("address", models.CharField(max_length=45)),
                ("at", models.DateTimeField(db_index=True)),
            ],
        ),
    ]
