"""What the shop says no to, in the words of the person at the car."""


class Refusal(ValueError):
    """Something that cannot be recorded as it stands.

    sentence  what is wrong and what to do about it
    field     the form field it belongs to, "" where it belongs to none
    """

    def __init__(self, sentence: str, *, field: str = "") -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.field = field


class Conflict(Refusal):
    """It no longer fits what has been recorded in the meantime."""


class Forbidden(Refusal):
    """This person may not do it."""


class Missing(Refusal):
    """There is no such thing, or not for this person."""


class TooSoon(Refusal):
    """Tried too often: `wait_s` must pass before the next try."""

    def __init__(self, sentence: str, *, wait_s: int, field: str = "") -> None:
        super().__init__(sentence, field=field)
        self.wait_s = wait_s
