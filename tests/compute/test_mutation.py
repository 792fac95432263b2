"""The wrongs that are done to a module are the ones meant, one at a time, and nothing else."""

import ast

import pytest

from tests.compute.mutation import mutants


@pytest.mark.parametrize(
    ("line", "wrongs"),
    [
        ("y = a + b", ["a + b -> a - b"]),
        ("y = a ** 2", ["a ** 2 -> a * 2", "2 -> 3"]),
        ("y = -a", ["-a -> a"]),
        ("y = a < b", ["a < b -> a <= b", "a < b -> a >= b"]),
        ("y = a and not b", ["a and (not b) -> a or not b", "not b -> b"]),
        ("y = sin(a)", ["sin -> cos"]),
        ("y = 0.0", ["0.0 -> 1.0"]),
        ("y = f'{a + b}'", []),
        ("def f(a: 'int' = True) -> 'int': ...", ["True -> False"]),
        ("@d(frozen=True)\nclass C: ...", []),
        ("y = zip(a, b, strict=True)", []),
    ],
)
def test_each_wrong_is_done_to_what_computes(line: str, wrongs: list[str]) -> None:
    assert [one.wrong for one in mutants(line)] == wrongs


def test_each_mutant_has_one_wrong_and_the_rest_as_it_was() -> None:
    broken = [ast.unparse(one.tree) for one in mutants("y = a * b + a * b")]

    assert broken == ["y = a * b - a * b", "y = a / b + a * b", "y = a * b + a / b"]
