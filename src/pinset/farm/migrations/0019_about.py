"""Files entries under what they are about: a cook, a chore, measured plates and so on."""

from typing import Any

from django.db import migrations, models

from pinset.farm.about import LONGEST, NAMED, about

AT_ONCE = 2_000


def file_entries(apps: Any, editor: Any) -> None:
    """Fill the column of the entries that stand already."""
    entries = apps.get_model("farm", "Entry").objects.using(editor.connection.alias)
    told = entries.filter(kind__in=[*NAMED, "look"]).values_list("id", "kind", "details")
    filed = [(what, number) for number, kind, details in told if (what := about(kind, details))]
    with editor.connection.cursor() as cursor:
        for i in range(0, len(filed), AT_ONCE):
            cursor.executemany(
                "UPDATE farm_entry SET about = %s WHERE id = %s", filed[i : i + AT_ONCE]
            )


class Migration(migrations.Migration):
    dependencies = [("farm", "0018_upkeep")]

    operations = [
        migrations.AddField(
            model_name="entry",
            name="about",
            field=models.CharField(blank=True, max_length=LONGEST, null=True),
        ),
        migrations.RunPython(file_entries, migrations.RunPython.noop),
        migrations.AddIndex(
            model_name="entry",
            index=models.Index(
                fields=("kind", "about", "happened_at"),
                condition=models.Q(about__isnull=False),
                name="entry_about",
            ),
        ),
    ]
