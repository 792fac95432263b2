"""A front end of two operations, to break in tests."""

SMALL = """\
id: small
name: Small
describes: A wheel and its car.
cautions: []
states:
  car: {stance: [floor, stands]}
  centre: {}
  corner: {wheel: [on, off]}
parts:
  - {id: wheel, name: Wheel, tag: false, decide: false}
fasteners:
  - id: wheel-nut
    name: Wheel nut
    thread: M12x1.5
    count: 5
    kind: wheel nut
    cotter: false
    one_time: false
    reuse: If the thread is clean.
    torque: torque.wheel-nut
    final_at: floor
    safety: true
    pattern: star
    stages: [0.5, 1.0]
hazards:
  - {id: raised, name: Raised, signal: danger, text: Stay out., acute: false}
scopes:
  - {id: wheels, name: Wheels, reach: {wheel: off}}
operations:
  - id: support
    name: Support
    phase: strip
    place: car
    group: vehicle
    minutes_down: 5
    minutes_up: 5
    why: To reach the wheels.
    goes_wrong: It slips.
    check: Push it.
    down:
      sentence: Raise the car.
      needs: {stance: floor}
      makes: {stance: stands}
      hazards_begin: [raised]
    up:
      sentence: Lower the car.
      needs: {each.wheel: on}
      makes: {stance: floor}
      hazards_end: [raised]
  - id: wheel
    name: Wheel
    phase: strip
    place: corner
    group: corner
    parts: [wheel]
    minutes_down: 5
    minutes_up: 5
    why: To see behind it.
    goes_wrong: It rolls away.
    check: It lies flat.
    down:
      sentence: Take the wheel off.
      needs: {car.stance: stands}
      makes: {wheel: off}
      captures:
        - id: nut-torque
          kind: measurement
          name: Torque at which the nuts moved
          quantity: torque
          unit: N·m
          lowest: 20 N·m
          highest: 300 N·m
      fasteners: [{fastener: wheel-nut, act: off}]
    up:
      sentence: Put the wheel on.
      needs: {car.stance: stands}
      makes: {wheel: on}
      fasteners: [{fastener: wheel-nut, act: torque}]
"""
