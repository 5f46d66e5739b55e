"""Seals the registers, those written before among them."""

from typing import Any

from django.db import migrations, models

from pinset.farm.seals import seal_everything


def seal(apps: Any, schema_editor: Any) -> None:
    using = schema_editor.connection.alias
    seal_everything(
        *(
            apps.get_model("farm", name)._base_manager.using(using)
            for name in ("RegisterRow", "Person", "ChainHead")
        )
    )


class Migration(migrations.Migration):

    dependencies = [
        ('farm', '0004_closed_jobs'),
    ]

    operations = [
        migrations.AddField(
            model_name='registerrow',
            name='seal',
            field=models.CharField(blank=True, default='', max_length=64),
        ),
        migrations.AddField(
            model_name='chainhead',
            name='last_seal',
            field=models.CharField(blank=True, default='', max_length=64),
        ),
        migrations.AddField(
            model_name='chainhead',
            name='registers',
            field=models.BigIntegerField(default=0),
        ),
        migrations.RunPython(seal, migrations.RunPython.noop),
    ]
