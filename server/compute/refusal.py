"""How this room says no."""


class Refused(ValueError):
    """Something typed or asked for that cannot stand; its text is one sentence for the person at the car."""
