"""A garden with its rules, the people who belong to it, and the links that invite more."""

from datetime import date, timedelta
from typing import Self
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django.conf import settings
from django.core import signing
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy

from garden.clock import now, today_in
from garden.coordinates import place_words
from garden.models.roles import HasRole, Role
from garden.models.safe_harvest import SafeHarvest
from garden.nutrients import NitrogenPolicy
from garden.words import gettext as _

INVITATION_DAYS = 14
INVITATION_SALT = "garden.invitation"


def validate_time_zone(name: str) -> None:
    """Refuse a name that is no time zone such as ``Europe/Dublin``."""
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise ValidationError(
            _("“{name}” is not a time zone, such as Europe/Dublin.").format(name=name)
        ) from None


class GardenQuerySet(models.QuerySet["Garden"]):
    """Gardens in the words of who may see them."""

    def open_to(self, user: object) -> Self:
        """Keep the gardens that `user` belongs to."""
        return self.filter(memberships__user=user)


class Garden(SafeHarvest):
    """One place under one set of rules. Lengths are mm, areas m², nitrogen kg per hectare."""

    class UnitSystem(models.TextChoices):
        METRIC = "metric", gettext_lazy("Metric: metres, kilograms")
        US = "us", gettext_lazy("US: feet and inches, pounds")

    class NitrogenPolicy(models.TextChoices):
        CROP_NEED = "crop_need", gettext_lazy("What the next crop can use")
        ANNUAL_LIMIT = "annual_limit", gettext_lazy("A limit per year and area")
        SMALLER = "smaller", gettext_lazy("The smaller of both")

    class PlanFor(models.TextChoices):
        MEDIAN = "median", gettext_lazy("What is expected")
        MOST = "most", gettext_lazy("Careful: as much as 8 flocks in 10 drop")
        NEARLY_ALL = "nearly_all", gettext_lazy("Very careful: as much as 9 flocks in 10 drop")

    takes_owner = True
    """Only an owner may change it, or take a change of it back."""

    name = models.CharField(max_length=80)
    time_zone = models.CharField(max_length=64, default="UTC", validators=[validate_time_zone])
    unit_system = models.CharField(
        max_length=8, choices=UnitSystem.choices, default=UnitSystem.METRIC
    )
    is_demo = models.BooleanField(default=False, editable=False)
    made_at = models.DateTimeField(auto_now_add=True)

    density_limit_kg_m2 = models.FloatField(
        gettext_lazy("most bird weight on the pen floor"),
        default=20.0,
        validators=[MinValueValidator(5), MaxValueValidator(42)],
    )
    rest_days = models.PositiveSmallIntegerField(
        gettext_lazy("rest of a place between two visits"),
        default=30,
        validators=[MaxValueValidator(365)],
    )
    min_stay_days = models.PositiveSmallIntegerField(
        gettext_lazy("shortest stay"),
        default=1,
        validators=[MinValueValidator(1), MaxValueValidator(60)],
    )
    max_stay_days = models.PositiveSmallIntegerField(
        gettext_lazy("longest stay"),
        default=7,
        validators=[MinValueValidator(1), MaxValueValidator(60)],
    )
    nitrogen_policy = models.CharField(
        max_length=16, choices=NitrogenPolicy.choices, default=NitrogenPolicy.ANNUAL_LIMIT
    )
    annual_limit_kg_ha = models.FloatField(
        gettext_lazy("most nitrogen in any 365 days"),
        default=170.0,
        validators=[MinValueValidator(1), MaxValueValidator(2000)],
    )
    phosphorus_cap = models.BooleanField(
        gettext_lazy("hold phosphorus back where a soil test is high"), default=True
    )
    soil_nitrogen_kg_ha = models.FloatField(
        gettext_lazy("nitrogen the soil gives a crop by itself"),
        default=0.0,
        validators=[MinValueValidator(0), MaxValueValidator(500)],
    )
    plan_for = models.CharField(
        gettext_lazy("droppings to plan for"),
        max_length=12,
        choices=PlanFor.choices,
        default=PlanFor.MOST,
    )
    latitude_deg = models.FloatField(
        null=True, blank=True, validators=[MinValueValidator(-90), MaxValueValidator(90)]
    )
    longitude_deg = models.FloatField(
        null=True, blank=True, validators=[MinValueValidator(-180), MaxValueValidator(180)]
    )
    clearance_mm = models.FloatField(
        gettext_lazy("gap between pen and bed wall, each side"),
        default=10.0,
        validators=[MinValueValidator(0), MaxValueValidator(300)],
    )
    feed_bag_kg = models.FloatField(
        gettext_lazy("feed bag"),
        default=25.0,
        validators=[MinValueValidator(1), MaxValueValidator(1000)],
    )

    objects = GardenQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(min_stay_days__gte=1) & Q(max_stay_days__gte=models.F("min_stay_days")),
                name="garden_stay_days_in_order",
                violation_error_message=gettext_lazy(
                    "The longest stay must not be shorter than the shortest."
                ),
            ),
            models.CheckConstraint(
                condition=Q(harvest_days_touches__gte=models.F("harvest_days_clear")),
                name="garden_harvest_days_in_order",
                violation_error_message=gettext_lazy(
                    "Crops that touch soil need at least the wait of the others."
                ),
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def place(self) -> tuple[float, float] | None:
        """Latitude and longitude; None where nobody gave them. [°]"""
        if self.latitude_deg is None or self.longitude_deg is None:
            return None
        return self.latitude_deg, self.longitude_deg

    @place.setter
    def place(self, place: tuple[float, float] | None) -> None:
        self.latitude_deg, self.longitude_deg = place or (None, None)

    @property
    def place_in_words(self) -> str:
        """Return the place as a page writes it; empty where nobody gave it."""
        return place_words(*self.place) if self.place else ""

    def today(self) -> date:
        """Return the local date in the garden."""
        return today_in(self.time_zone)

    @property
    def nitrogen_quantile(self) -> float:
        """The share of flocks that drop no more on a day than is planned for [1]."""
        careful = {self.PlanFor.MOST: 0.8, self.PlanFor.NEARLY_ALL: 0.9}
        return careful.get(self.plan_for, 0.5)

    def nitrogen_rules(self) -> NitrogenPolicy:
        """Return the garden's rules for nitrogen."""
        return NitrogenPolicy(
            rule=self.nitrogen_policy,
            annual_limit_kg_ha=self.annual_limit_kg_ha,
            mixed_in=self.mixed_in,
        )


class MembershipQuerySet(models.QuerySet["Membership"]):
    """The people of one garden."""

    def named(self) -> Self:
        """Bring the users along and put them in the order of their names."""
        return self.select_related("user").order_by("user__username")

    def owners(self) -> Self:
        """Keep those who may change rules, beds and people."""
        return self.filter(role=Role.OWNER)

    def of_user(self, user: object) -> Self:
        """Keep what `user` belongs to."""
        return self.filter(user=user)


class Membership(HasRole, models.Model):
    """One person in one garden."""

    takes_owner = True
    """Only an owner may change it, or take a change of it back."""

    garden = models.ForeignKey(Garden, on_delete=models.CASCADE, related_name="memberships")
    user = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="memberships"
    )
    role = models.CharField(max_length=8, choices=Role.choices, default=Role.HELPER)
    since = models.DateTimeField(auto_now_add=True)

    objects = MembershipQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["garden", "user"], name="membership_once"),
        ]

    def __str__(self) -> str:
        return f"{self.user} in {self.garden} ({self.role})"

    @property
    def may_log(self) -> bool:
        """Whether this person may record work."""
        return self.role in (Role.OWNER, Role.HELPER)

    @property
    def may_rule(self) -> bool:
        """Whether this person may change rules, beds and people."""
        return self.role == Role.OWNER


class InvitationQuerySet(models.QuerySet["Invitation"]):
    """Links by whether they still let somebody in."""

    def unused(self) -> Self:
        """Keep what is neither used nor withdrawn nor too old, oldest first."""
        return self.filter(used_at=None, withdrawn_at=None, expires_at__gt=now()).order_by("pk")


class Invitation(HasRole, models.Model):
    """A link that lets one more person in, once, until it expires or is withdrawn."""

    garden = models.ForeignKey(Garden, on_delete=models.CASCADE, related_name="invitations")
    role = models.CharField(max_length=8, choices=Role.choices, default=Role.HELPER)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+"
    )
    made_at = models.DateTimeField(auto_now_add=True)
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True, blank=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    objects = InvitationQuerySet.as_manager()

    def __str__(self) -> str:
        return f"invitation {self.pk} to {self.garden} as {self.role}"

    def save(self, *args: object, **kwargs: object) -> None:
        """Save, giving a new invitation its end."""
        self.expires_at = self.expires_at or now() + timedelta(days=INVITATION_DAYS)
        super().save(*args, **kwargs)

    @property
    def token(self) -> str:
        """Return the signed text of the link; nothing secret is stored."""
        return signing.dumps(self.pk, salt=INVITATION_SALT)

    @property
    def is_open(self) -> bool:
        """Whether the link still lets somebody in."""
        return self.used_at is None and self.withdrawn_at is None and now() < self.expires_at

    @classmethod
    def of_token(cls, token: str) -> "Invitation | None":
        """Return the open invitation of a link, or None where the link is not (or no longer) one."""
        try:
            key = signing.loads(token, salt=INVITATION_SALT)
        except signing.BadSignature:
            return None
        found = cls.objects.select_related("garden").filter(pk=key).first()
        return found if found and found.is_open else None
