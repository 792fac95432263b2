"""What is done to bar, wheels and steering."""

from tests.procedure.iron import AIR, FLOOR, RIDE_HEIGHT, Corner, Vehicle, must, safe


class FrontMoves(Vehicle):
    """Bar, wheels, steering."""

    # the bar

    def down_bar(self) -> None:
        self.hanging()
        must(not any(corner.on["link"] for corner in self.corners.values()), "the links hold the bar")
        self.bracket.off()
        self.bar = self.bar_decided = False

    def up_bar(self) -> None:
        self.hanging()
        must(self.bar_decided and not self.bar, "nobody decided on the bar")
        self.bracket.run_on()
        self.bracket.snug()
        self.bar = True

    def up_bar_final(self) -> None:
        self.at_ride_height()
        must(self.bracket.grip == "snug", "brackets not snug")
        self.bracket.torque(RIDE_HEIGHT)

    def up_inspect_bar(self) -> None:
        must(not self.bar, "the bar is on the car")
        self.bar_decided = True

    def down_bar_link(self, corner: Corner) -> None:
        self.hanging()
        corner.bolts["link"].off()
        corner.take("link")

    def up_bar_link(self, corner: Corner) -> None:
        self.hanging()
        must(self.bar and corner.on["lower_arm"] and corner.on["knuckle"], "nothing to link")
        corner.fit("link")
        corner.bolts["link"].run_on()
        corner.bolts["link"].snug()

    def up_links_final(self, corner: Corner) -> None:
        self.at_ride_height()
        must(corner.bolts["link"].grip == "snug", "link not snug")
        corner.bolts["link"].torque(RIDE_HEIGHT)

    # wheel and steering

    def down_wheel_nuts(self, corner: Corner) -> None:
        safe(not self.raised, "heaving at a raised car")
        corner.bolts["wheel"].loosen()

    def up_wheel_nuts(self, corner: Corner) -> None:
        safe(not self.raised, "heaving at a raised car")
        must(corner.bolts["wheel"].grip == "snug", "wheel nuts not snug")
        corner.bolts["wheel"].torque(FLOOR)
        corner.nuts_due = True

    def up_retorque(self, corner: Corner) -> None:
        must(self.driven and not self.raised, "pulled again before the road")
        corner.bolts["wheel"].torque(FLOOR)
        corner.nuts_due = False

    def down_wheel(self, corner: Corner) -> None:
        self.hanging()
        must(corner.bolts["wheel"].grip == "loose", "wheel nuts tight, and the wheel turns in the air")
        corner.bolts["wheel"].off()
        corner.take("wheel", decide=False)

    def up_wheel(self, corner: Corner) -> None:
        self.hanging()
        must(corner.on["knuckle"] and corner.on["caliper"] and corner.on["rod"], "the wheel goes on last")
        must(corner.on["stop"], "the wheel hides the bump stop")
        safe(corner.joints_hold, "a wheel on loose ball joints")
        corner.fit("wheel")
        corner.bolts["wheel"].run_on()
        corner.bolts["wheel"].snug()

    def down_steering_cotters(self, corner: Corner) -> None:
        self.wheel_off(corner)
        must(corner.on["knuckle"], "the knuckle does not stand firm")
        corner.bolts["outer_rod"].pull_cotter()
        corner.bolts["inner_rod"].pull_cotter()

    def down_tie_rod(self, corner: Corner) -> None:
        self.wheel_off(corner)
        must(corner.on["knuckle"], "no knuckle to break the taper against")
        corner.bolts["outer_rod"].off()
        corner.bolts["inner_rod"].off()
        corner.take("rod")
        corner.preset, self.disturbed = False, True

    def up_preset(self, corner: Corner) -> None:
        must(not corner.on["rod"] and "rod" not in corner.undecided, "no tie rod to set")
        corner.bolts["clamp"].loosen()
        corner.bolts["clamp"].snug()
        corner.preset = True

    def up_tie_rod(self, corner: Corner) -> None:
        self.wheel_off(corner)
        must(corner.on["knuckle"] and corner.joints_hold, "the knuckle does not stand firm")
        must(corner.preset, "the tie rod is not set")
        corner.fit("rod")
        for name in ("outer_rod", "inner_rod"):
            corner.bolts[name].run_on()
            corner.bolts[name].torque(AIR)
            corner.bolts[name].new_cotter()

    def up_sleeve_clamps(self, corner: Corner) -> None:
        safe(not self.raised and not self.disturbed, "clamped before the toe is known")
        corner.bolts["clamp"].torque(FLOOR)
