"""Settings of the workspace: what was changed is saved together or not at all."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.actions.haul.scenario import DEFAULTS, usual
from partway.actions.home.driving import READERS, shown_in, typed_in
from partway.actions.home.settings import SETTINGS, UNITS, set_many
from partway.actions.recording.describe import tell_all
from partway.actions.recording.heard import hearing
from partway.errors import Refused
from partway.ledger.fold.driving import DISTANCE, USUAL
from partway.ledger.fold.standing import settings
from partway.quantities import shown
from partway.saying.lexicon import languages
from partway.things.currencies import CURRENCIES
from partway.things.units import DISTANCE_UNITS
from partway.web.context import At, RequestContext
from partway.web.forms import FAR, ChoiceField, DistanceField, Form, LineField
from partway.web.pages import Page, render
from partway.web.posting import FormSaved, save_form

router = APIRouter()
WAS = "was-"  # what a field held when the page was shown, so that an old page changes nothing it did not mean to
# What everybody is asked, then what is folded away under "More", for those who want it.
GROUPS = (
    ("Money, scale and roads", ("currency", "unit", "distance")),
    ("Your hours", ("wage", "bench", "away")),
    ("Your vehicle", ("payload", "volume", "cost_per_km")),
    ("Your shed", ("storage", "home")),
)
MORE = (
    ("Trips and helpers", ("trips", "trip", "leave", "end", "helpers", "lift", "whole_above")),
    ("Roads", ("kmh", "road_factor")),
    ("Scale, prices and what is kept", ("division", "copper", "inflow", "keep_factor", "buried")),
    ("What helpers may", ("helper_prices", "helper_corrects")),
    ("The workspace", ("name", "locale", "language", "zone")),
)


TONGUES = {"en": "English", "es": "Spanish", "fr": "French"}


class SettingsForm(Form):
    """One field a setting; its name is the setting's."""

    currency = LineField("Currency", "three letters, such as CAD; it stays once money is recorded")
    unit = ChoiceField(
        "Your scale shows",
        "a number without a unit counts as this",
        choices=[(unit, unit) for unit in UNITS],
        look="buttons",
    )
    distance = ChoiceField(
        "Roads are measured in",
        "a distance without a unit counts as this",
        choices=[(unit, FAR[unit]["kilometres"]) for unit in DISTANCE_UNITS],
        look="buttons",
    )
    division = LineField("Smallest step your scale shows", "such as 5 g; a gap no larger than that is not asked about")
    wage = LineField(
        "An hour of yours is worth at least", "in your currency; 0 counts your hours as free", mode="decimal"
    )
    bench = LineField("Hours you have at the bench", "for one plan", mode="decimal")
    away = LineField("Hours you have to drive and sell", "for one plan", mode="decimal")
    trips = LineField("How many trips at most", "for one plan, 0 to 9", mode="numeric")
    trip = LineField("Longest that one trip may take", "hours, at the yards too; empty for no limit", mode="decimal")
    leave = LineField("When you set out", "such as 09:00; decides who is open when you get there")
    helpers = LineField("People who lift with you", "0 to 9", mode="numeric")
    payload = LineField("What your vehicle carries", "such as 450 kg or 900 lb")
    volume = LineField("What fits in it", "such as 1800 L")
    whole_above = LineField("Too heavy to cut up", "pieces above this are loaded whole, such as 25 kg")
    lift = LineField("What you lift alone", "such as 40 kg; what is heavier waits for a helper")
    cost_per_km = DistanceField("What a {kilometre} costs you", "fuel and wear", mode="decimal")
    kmh = DistanceField("How fast you get along", "{far} an hour, towns and lights included", mode="decimal")
    road_factor = LineField(
        "How much roads wind", "how many times the straight line the road is, such as 1.3", mode="decimal"
    )
    home = LineField("Where you start from", "latitude, longitude, such as 30.65, -40.57; stays on this machine")
    end = LineField(
        "Where a trip ends",
        "home; or a name, latitude, longitude, such as the workshop, 30.70, -40.52: one trip a plan",
    )
    helper_prices = ChoiceField(
        "Helpers record prices heard",
        "somebody whose device you gave a key as a helper",
        choices=[("", "not said: yes"), ("yes", "yes"), ("no", "no: the owner alone")],
    )
    helper_corrects = ChoiceField(
        "Helpers take back or put right",
        "terms of buyers, settings and devices are the owner's",
        choices=[("", "not said: what they recorded"), ("own", "what they recorded"), ("all", "what anybody recorded")],
    )
    name = LineField("What you call this workspace", "shown on top and on plans")
    storage = LineField("What your shed holds", "such as 5000 L; then you hear when room runs out")
    inflow = LineField("What comes in each week", "such as 60 kg; empty to go by what you weighed")
    copper = LineField(
        "No. 2 copper at a yard", "such as 4.10 /lb: estimates what nobody quotes, at the curb; none for no estimates"
    )
    keep_factor = LineField(
        "What metal is worth that you hold back",
        "room: its price less the room it takes; or a share of it, such as 0.8",
    )
    buried = LineField(
        "How much would be buried without you",
        "of what you take, such as 0.4; for what you spared. Empty where you do not know",
        mode="decimal",
    )
    locale = LineField("How you write numbers", "language and country, such as en_CA")
    language = ChoiceField(
        "What you say things in",
        "in the field on Home",
        choices=[("", "not said: English"), *((one, TONGUES[one]) for one in languages())],
    )
    zone = LineField("Your time zone", "such as America/Halifax")


@dataclass(frozen=True, kw_only=True)
class SettingsPage(Page):
    """All settings. `shown_as` is what each was when the page was shown, `defaults` what is taken where none is;
    `plain` tells whether a phone reaches the app without https.
    """

    template: ClassVar[str] = "settings/settings.html"
    place: ClassVar[str] = "settings"
    styles: ClassVar[tuple[str, ...]] = ("curb.css",)
    form: SettingsForm
    groups: tuple[tuple[str, tuple[str, ...]], ...]
    more: tuple[tuple[str, tuple[str, ...]], ...]
    was: str
    shown_as: dict[str, str]
    defaults: dict[str, str]
    currencies: tuple[str, ...]
    plain: bool


@router.get("/settings")
def settings_page(ctx: At) -> Response:
    """What is set, and what is taken where nothing is."""
    return render(ctx, _page(ctx))


@router.post("/settings")
def change(ctx: At) -> Response:
    """Save what was changed."""
    form = SettingsForm(ctx.typed)

    def act() -> FormSaved:
        changes = _changes(ctx, form)
        recorded = set_many(ctx.book, ctx.context(), _sound(ctx, form, changes))
        told = tell_all(recorded.result, ctx.show.say, ctx.named_anew(), recorded.clock)
        return FormSaved(told, recorded.undo, "/settings")

    return save_form(ctx, form, act, lambda: _page(ctx, form))


def _page(ctx: RequestContext, form: SettingsForm | None = None) -> SettingsPage:
    known = _known(ctx)
    before = {name: ctx.typed.get(WAS + name, "") for name in SETTINGS} if form else known
    return SettingsPage(
        title="Settings",
        form=form or SettingsForm(None, **known),
        groups=GROUPS,
        more=MORE,
        was=WAS,
        shown_as=before,
        defaults={DISTANCE: FAR[USUAL]["kilometres"], **{name: usual(name, known) for name in DEFAULTS}},
        currencies=tuple(sorted(CURRENCIES)),
        plain=ctx.setup.address.startswith("http:"),
    )


def _known(ctx: RequestContext) -> dict[str, str]:
    """The settings as their fields show them: what is by the kilometre or mile as a number of the unit named there."""
    known, unit = settings(ctx.book), ctx.show.say.distance
    return {name: shown_in(name, value, unit) if name in READERS else value for name, value in known.items()}


def _changes(ctx: RequestContext, form: SettingsForm) -> dict[str, str]:
    """Fields that hold something else than when the page was shown. Raises Refused where there is none."""
    known, unit = _known(ctx), ctx.show.say.distance
    changes = {}
    for name in SETTINGS:
        typed, before, now = _text(form, name), ctx.typed.get(WAS + name, ""), known.get(name, "")
        if typed in (before, now):
            continue
        if before != now:
            raise Refused(shown(typed), f"another look: it was changed to {shown(now)} meanwhile", name)
        if not typed:
            raise Refused("nothing", "a value: what was set can be changed, not emptied", name)
        if name in READERS and (ctx.typed.get(WAS + DISTANCE) or USUAL) != unit:
            raise Refused(shown(typed), f"another look: roads are measured in {unit} meanwhile", name)
        changes[name] = typed_in(name, typed, unit)
    if not changes:
        raise Refused("nothing changed", "a change in some field", "settings")
    return changes


def _text(form: SettingsForm, name: str) -> str:
    return (form[name].data or "").strip()


def _sound(ctx: RequestContext, form: SettingsForm, changes: dict[str, str]) -> dict[str, str]:
    """The same changes; where several fields are wrong, each is told so and the last is raised."""
    wrong: list[Refused] = []
    for name, value in changes.items():
        try:
            SETTINGS[name][1](value, name, hearing(ctx.book))
        except Refused as refused:
            wrong.append(refused)
    if not wrong:
        return changes
    for earlier in wrong[:-1]:
        form.refuse(earlier)
    raise wrong[-1]
