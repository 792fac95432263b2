"""What is done at one corner."""

from tests.procedure.iron import AIR, RIDE_HEIGHT, Corner, Vehicle, must, safe


class CornerMoves(Vehicle):
    """Brake, shock, spring, ball joints, arms."""

    # brake, shock, stop

    def down_caliper(self, corner: Corner) -> None:
        self.wheel_off(corner)
        corner.bolts["caliper"].off()
        corner.caliper_wired = True
        corner.take("caliper")

    def up_caliper(self, corner: Corner) -> None:
        self.wheel_off(corner)
        must(corner.on["knuckle"] and corner.joints_hold, "no firm disc to slide over")
        corner.fit("caliper")
        corner.bolts["caliper"].run_on()
        corner.bolts["caliper"].torque(AIR)
        corner.caliper_wired = False

    def down_shock(self, corner: Corner) -> None:
        self.hanging()
        corner.bolts["shock_top"].off()
        corner.bolts["shock_bottom"].off()
        corner.take("shock")

    def up_shock(self, corner: Corner) -> None:
        self.hanging()
        must(corner.on["lower_arm"] and corner.on["spring"], "nothing to stand the shock in")
        corner.fit("shock")
        for name in ("shock_bottom", "shock_top"):
            corner.bolts[name].run_on()
            corner.bolts[name].torque(AIR)

    def down_bump_stop(self, corner: Corner) -> None:
        self.wheel_off(corner)
        corner.bolts["bump_stop"].off()
        corner.take("stop")

    def up_bump_stop(self, corner: Corner) -> None:
        self.wheel_off(corner)
        corner.fit("stop")
        corner.bolts["bump_stop"].run_on()
        corner.bolts["bump_stop"].torque(AIR)

    # spring and ball joints

    def down_joint_cotters(self, corner: Corner) -> None:
        self.wheel_off(corner)
        must(corner.on["knuckle"] and corner.tapers_stuck, "the knuckle does not stand firm")
        corner.bolts["upper_joint"].pull_cotter()
        corner.bolts["lower_joint"].pull_cotter()

    def down_joint_nuts(self, corner: Corner) -> None:
        self.wheel_off(corner)
        corner.bolts["upper_joint"].loosen()
        corner.bolts["lower_joint"].loosen()
        corner.tapers_stuck = False

    def up_joint_nuts(self, corner: Corner) -> None:
        self.wheel_off(corner)
        must(corner.on["knuckle"], "no knuckle")
        safe(corner.caged, "nuts pulled against a live spring")
        for name in ("lower_joint", "upper_joint"):
            corner.bolts[name].torque(AIR)
            corner.bolts[name].new_cotter()
        corner.tapers_stuck = True

    def down_compressor(self, corner: Corner) -> None:
        self.hanging()
        must(corner.on["spring"] and not corner.caged, "no live spring")
        must(not corner.tapers_stuck, "the arms are still wedged: nobody sees when the spring is loose")
        corner.caged = True

    def up_compressor(self, corner: Corner) -> None:
        self.hanging()
        must(corner.caged and corner.on["spring"], "no compressor in the car")
        safe(self.hold_confirmed, "slackened before anyone confirmed the nuts")
        safe(corner.on["knuckle"] and corner.joints_hold, "slackened on open ball joints")
        corner.caged = False

    def down_knuckle(self, corner: Corner) -> None:
        self.wheel_off(corner)
        must(not corner.tapers_stuck, "the tapers hold the knuckle")
        must(not corner.on["rod"], "the tie rod holds the knuckle")
        corner.bolts["upper_joint"].off()
        corner.bolts["lower_joint"].off()
        corner.take("knuckle")
        self.disturbed = True

    def up_knuckle(self, corner: Corner) -> None:
        self.wheel_off(corner)
        must(corner.on["spring"] and corner.caged, "the spring cannot go in behind the knuckle")
        must(corner.on["lower_arm"] and corner.on["upper_arm"], "no arms")
        must(corner.on["lower_joint"] and corner.on["upper_joint"], "no ball joints")
        safe(corner.bolts["upper_arm"].holds, "the upper arm is loose on the frame")
        corner.fit("knuckle")
        corner.bolts["lower_joint"].run_on()
        corner.bolts["upper_joint"].run_on()

    def down_spring(self, corner: Corner) -> None:
        self.hanging()
        must(not corner.on["knuckle"] and not corner.on["link"], "the arm cannot drop")
        must(corner.bolts["lower_pivot"].grip == "loose", "the arm is clamped in its rubber")
        safe(corner.caged, "a live spring taken out")
        corner.take("spring")
        corner.caged = False  # unloaded on the bench

    def up_compress(self, corner: Corner) -> None:
        must(not corner.on["spring"] and "spring" not in corner.undecided, "no spring to press")
        corner.caged = True

    def up_spring(self, corner: Corner) -> None:
        self.hanging()
        must(corner.caged, "the spring is too long to go in")
        must(
            corner.on["lower_arm"] and not corner.on["knuckle"] and not corner.on["link"],
            "the arm cannot drop",
        )
        must(corner.bolts["lower_pivot"].grip == "loose", "the arm is clamped in its rubber")
        corner.fit("spring")

    # arms

    def down_lower_pivots(self, corner: Corner) -> None:
        self.hanging()
        corner.bolts["lower_pivot"].loosen()

    def up_lower_pivots(self, corner: Corner) -> None:
        self.hanging()
        must(corner.on["knuckle"], "the arm still has to swing")
        corner.bolts["lower_pivot"].snug()

    def up_lower_pivots_final(self, corner: Corner) -> None:
        self.at_ride_height()
        corner.bolts["lower_pivot"].torque(RIDE_HEIGHT)

    def up_upper_bushings_final(self, corner: Corner) -> None:
        self.at_ride_height()
        corner.bolts["shaft_end"].torque(RIDE_HEIGHT)

    def down_lower_joint(self, corner: Corner) -> None:
        self.hanging()
        must(not corner.on["knuckle"] and corner.on["lower_arm"], "the press does not reach the joint")
        corner.take("lower_joint")

    def up_lower_joint(self, corner: Corner) -> None:
        self.hanging()
        must(not corner.on["knuckle"] and corner.on["lower_arm"], "the press does not reach the joint")
        corner.fit("lower_joint")

    def down_upper_joint(self, corner: Corner) -> None:
        self.hanging()
        must(not corner.on["knuckle"] and corner.on["upper_arm"], "the joint is clamped in the knuckle")
        corner.bolts["joint_flange"].off()
        corner.take("upper_joint")

    def up_upper_joint(self, corner: Corner) -> None:
        self.hanging()
        must(not corner.on["knuckle"] and corner.on["upper_arm"], "no arm to bolt it to")
        corner.fit("upper_joint")
        corner.bolts["joint_flange"].run_on()
        corner.bolts["joint_flange"].torque(AIR)

    def down_lower_arm(self, corner: Corner) -> None:
        self.hanging()
        must(
            not corner.on["knuckle"] and not corner.on["spring"] and not corner.on["link"], "the arm is held"
        )
        must(corner.bolts["lower_pivot"].grip == "loose", "pivot bolts tight")
        corner.bolts["lower_pivot"].off()
        corner.take("lower_arm")

    def up_lower_arm(self, corner: Corner) -> None:
        self.hanging()
        corner.fit("lower_arm")
        corner.bolts["lower_pivot"].run_on()

    def down_shims(self, corner: Corner) -> None:
        self.hanging()
        must(not corner.on["knuckle"], "the arm cannot come away from the frame")
        corner.bolts["upper_arm"].loosen()
        corner.take("packs", decide=False)
        corner.packs_made_up = False

    def up_packs(self, corner: Corner) -> None:
        must(not corner.on["packs"], "the packs are in the car")
        corner.packs_made_up = True

    def up_shims(self, corner: Corner) -> None:
        self.hanging()
        must(corner.on["upper_arm"] and corner.on["studs"], "no stud to hang the packs on")
        must(corner.packs_made_up, "no packs made up")
        corner.fit("packs")
        corner.bolts["upper_arm"].grip = "loose"
        corner.bolts["upper_arm"].torque(AIR)

    def down_studs(self, corner: Corner) -> None:
        self.hanging()
        must(corner.has_shaft, "the studs stay on this side")
        must(not corner.on["packs"], "the packs are clamped on the studs")
        corner.bolts["upper_arm"].off()
        corner.take("studs")

    def up_studs(self, corner: Corner) -> None:
        self.hanging()
        must(corner.on["upper_arm"], "the arm cannot pass the steering shaft with the studs in")
        must(corner.bolts["upper_arm"].grip == "off", "nuts on before the studs are home")
        corner.fit("studs")

    def down_upper_arm(self, corner: Corner) -> None:
        self.hanging()
        must(not corner.on["knuckle"] and not corner.on["packs"], "the arm is held")
        must(not (corner.has_shaft and corner.on["studs"]), "the steering shaft is in the way")
        if corner.on["studs"]:
            corner.bolts["upper_arm"].off()
        corner.bolts["shaft_end"].loosen()
        corner.take("upper_arm")

    def up_upper_arm(self, corner: Corner) -> None:
        self.hanging()
        must(
            not (corner.has_shaft and corner.on["studs"]),
            "the arm cannot pass the steering shaft with the studs in",
        )
        corner.bolts["shaft_end"].snug()
        corner.fit("upper_arm")

    def up_inspect(self, corner: Corner) -> None:
        must(bool(corner.undecided), "nothing on the bench")
        corner.undecided.clear()
