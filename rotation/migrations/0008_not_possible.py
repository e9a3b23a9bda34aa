from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('rotation', '0007_photos'),
    ]

    operations = [
        migrations.AddField(
            model_name='choremark',
            name='reason',
            field=models.CharField(blank=True, max_length=120),
        ),
        migrations.AlterField(
            model_name='choremark',
            name='mark',
            field=models.CharField(choices=[('done', 'Done'), ('later', 'Later'), ('cannot', 'Not possible')], max_length=8),
        ),
    ]
