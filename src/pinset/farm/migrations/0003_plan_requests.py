"""Planning again on request, outside the page."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("farm", "0002_sign_in_attempts")]

    operations = [
        migrations.CreateModel(
            name="PlanRequest",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("asked_at", models.DateTimeField()),
                ("asked_by", models.CharField(blank=True, max_length=40)),
                ("taken_at", models.DateTimeField(null=True)),
                ("ended_at", models.DateTimeField(null=True)),
                ("progress", models.CharField(blank=True, max_length=120)),
                ("problem", models.TextField(blank=True)),
            ],
            options={
                "indexes": [
                    models.Index(
                        condition=models.Q(("ended_at", None)),
                        fields=["id"],
                        name="plan_request_open",
                    )
                ],
            },
        ),
    ]
