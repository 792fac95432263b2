import pytest

from server.shop.generic_torque import FINISHES, Joint, propose
from server.shop.refusal import Refusal

LBF_FT_Nm = 4.4482216152605 * 0.3048  # exact by definition


def test_a_proposal_is_the_torque_of_the_textbook_and_its_scatter():
    # Derived by hand from Shigley 9th ed. Eq. 8-27, Tables 8-2, 8-9, 8-15: proof 85 ksi × area 0.1599 in²
    # = 13592 lbf, 75 % of it 10194 lbf; T = 0.20 × 10194 × 0.5/12 = 84.9 lbf·ft; scatter 35 %: 55.2 to 114.7.
    proposal = propose(Joint("SAE 5", "1/2-20", "zinc"), system="inch")

    assert proposal.worked_out.torque.value / LBF_FT_Nm == pytest.approx(84.9, abs=0.1)
    assert proposal.scatter == "55 to 115 lbf·ft"


def test_only_the_lower_half_of_the_scatter_is_offered():
    assert propose(Joint("SAE 5", "1/2-20", "zinc"), system="inch").text == "55 to 85 lbf·ft"


def test_a_proposal_says_what_it_rests_on_and_that_it_is_not_the_makers():
    proposal = propose(Joint("8.8", "M12x1.5", "lubricated"), system="metric")

    assert proposal.text.endswith(" N·m")
    for word in ("not the maker's", "8.8", "M12x1.5", "lubricated", "75%", "Shigley"):
        assert word in proposal.source
    assert "not the maker's" in proposal.worked_out.cautions[0]


@pytest.mark.parametrize("finish", FINISHES)
def test_at_the_low_end_even_a_slippery_bolt_stays_under_its_proof_load(finish):
    found = propose(Joint("SAE 8", "7/16-14", finish), system="inch").worked_out
    scatter = FINISHES[finish][0].scatter
    low_Nm = found.torque.value - found.torque.uncertainty
    slippery_K = FINISHES[finish][0].nut_factor * (1 - scatter)

    preload_N = low_Nm / (slippery_K * 7 / 16 * 0.0254)

    assert preload_N < found.proof_load_N


@pytest.mark.parametrize(
    ("field", "joint"),
    [
        ("grade", Joint("", "1/2-20", "zinc")),
        ("grade", Joint("SAE 6", "1/2-20", "zinc")),
        ("grade", Joint("SAE 1", "5/2-20", "zinc")),
        ("thread", Joint("SAE 5", "half inch", "zinc")),
        ("thread", Joint("SAE 5", "1/0-20", "zinc")),
        ("thread", Joint("8.8", "M2x9", "zinc")),
        ("finish", Joint("SAE 5", "1/2-20", "")),
        ("finish", Joint("SAE 5", "1/2-20", "gold")),
    ],
)
def test_what_is_not_known_of_the_joint_is_asked_for_beside_its_field(field, joint):
    with pytest.raises(Refusal) as refused:
        propose(joint, system="inch")

    assert refused.value.field == field
