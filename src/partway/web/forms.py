"""Forms: what can be typed, what was typed, and what is wrong with it, beside the field it concerns."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from starlette.datastructures import FormData, MultiDict
from wtforms import BooleanField, StringField, TextAreaField
from wtforms import Form as WTForm
from wtforms.validators import Length, Optional

from partway.actions.recording.questions import Asked
from partway.errors import Refused
from partway.web.wording import beside_field, by_itself

LINE = 200
TEXT = 20_000
ANSWER = "answer-"


class Typed(MultiDict):
    """What was posted, the way WTForms asks for it."""

    def getlist(self, key: Any) -> list[Any]:
        """All values of a field, but no files."""
        return [value for value in super().getlist(key) if isinstance(value, str)]

    @classmethod
    def of(cls, data: FormData) -> Typed:
        """The texts of a posted form."""
        return cls([(name, value) for name, value in data.multi_items() if isinstance(value, str)])


class LineField(StringField):
    """A line of text. `hint` stands under the label; `mode` is the keyboard shown: text, decimal, numeric, tel."""

    def __init__(self, label: str, hint: str = "", *, mode: str = "text", most: int = LINE, **more: Any) -> None:
        said = f"at most {most:,} characters"
        super().__init__(label, [Optional(strip_whitespace=False), Length(max=most, message=said)], **more)
        self.hint, self.mode = hint, mode

    @property
    def text(self) -> str:
        """What was typed, without space around it."""
        return (self.data or "").strip()


class DistanceField(LineField):
    """A distance, typed in the unit of the workspace unless another is said.

    Its label and hint name the unit where `{far}` (km, miles), `{kilometres}` or `{kilometre}` stands.
    """

    def say_unit(self, unit: str) -> None:
        """Put the unit into the words that stand beside it."""
        self.label.text, self.hint = in_unit_words(self.label.text, unit), in_unit_words(self.hint, unit)


FAR = {
    "km": {"far": "km", "kilometres": "kilometres", "kilometre": "kilometre"},
    "mi": {"far": "miles", "kilometres": "miles", "kilometre": "mile"},
}


def in_unit_words(text: str, unit: str) -> str:
    """A text with the unit of distance in its place; with a capital where it begins with it."""
    said = text.format(**FAR[unit])
    return said[:1].upper() + said[1:] if text.startswith("{") else said


class TextField(TextAreaField):
    """Several lines of text."""

    def __init__(self, label: str, hint: str = "", *, most: int = TEXT, **more: Any) -> None:
        said = f"at most {most:,} characters"
        super().__init__(label, [Optional(strip_whitespace=False), Length(max=most, message=said)], **more)
        self.hint, self.mode = hint, "text"

    @property
    def text(self) -> str:
        """What was typed, without space around it."""
        return (self.data or "").strip()


class ChoiceField(StringField):
    """One of several; nothing chosen is an empty text. `choices` are (value, label) and may be set later."""

    def __init__(
        self, label: str, hint: str = "", *, choices: Sequence[tuple[str, str]] = (), look: str = "menu", **more: Any
    ) -> None:
        super().__init__(label, **more)
        self.hint, self.look = hint, look  # look: menu, or buttons side by side
        self.choices = list(choices)

    @property
    def text(self) -> str:
        """What was chosen. Whether that can be chosen is for the action to say: it refuses what it does not know."""
        return self.data or ""


class TickField(BooleanField):
    """Yes or no."""

    def __init__(self, label: str, hint: str = "", **more: Any) -> None:
        super().__init__(label, **more)
        self.hint = hint


class Form(WTForm):
    """A form to fill in. `problem` is what is wrong with all of it, `question` what it asks before it can be saved."""

    def __init__(self, typed: Typed | None = None, **values: Any) -> None:
        super().__init__(typed, **values)
        self.typed = typed or Typed()
        self.problem = ""
        self.question: Asked | None = None

    def answer(self, option: str) -> str | None:
        """What was answered to a question that an action asked, None where nothing was."""
        return self.typed.get(ANSWER + option)

    def agreed(self, option: str) -> bool | None:
        """Whether a question with one answer was answered with yes."""
        return True if self.answer(option) == "yes" else None

    @property
    def answers(self) -> list[tuple[str, str]]:
        """Answers given so far, to be sent again."""
        given = [(name, value) for name, value in self.typed.multi_items() if name.startswith(ANSWER)]
        asked = ANSWER + self.question.option if self.question else ""
        return [(name, value) for name, value in given if name != asked] if self.question else []

    def refuse(self, refused: Refused, names: Mapping[str, str] | None = None) -> None:
        """Put a refusal beside the field it concerns; `names` maps what an action calls it to the field's name."""
        if isinstance(refused, Asked) and refused.choices:
            self.question = refused
            return
        field = self._field(refused, names or {})
        if field is None:
            self.problem = by_itself(refused)
        else:
            field.errors = [*field.errors, beside_field(refused)]

    def _field(self, refused: Refused, names: Mapping[str, str]) -> Any:
        for known in (refused.where, refused.field):
            name = names.get(known, known)
            if name in self:
                return self[name]
        return None

    def say_unit(self, unit: str) -> None:
        """Name the workspace's unit of distance wherever a distance is asked for."""
        for field in self:
            if isinstance(field, DistanceField):
                field.say_unit(unit)

    @property
    def wrong(self) -> list[tuple[str, str, str]]:
        """(field id, label, what is wrong) for the summary at the top."""
        return [(f.id, f.label.text, str(error)) for f in self for error in f.errors]
