"""Questions to the worker beside wishes to plan, with their answers."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("farm", "0012_pins")]

    operations = [
        migrations.AddField(
            "planrequest",
            "kind",
            models.CharField(
                choices=[("plan", "Plan"), ("ask", "Ask")], default="plan", max_length=8
            ),
        ),
        migrations.AddField("planrequest", "question", models.JSONField(null=True)),
        migrations.AddField("planrequest", "answer", models.JSONField(null=True)),
        migrations.AddField(
            "planrequest", "times_taken", models.PositiveSmallIntegerField(default=0)
        ),
        migrations.AddField("planrequest", "is_given_up", models.BooleanField(default=False)),
    ]
