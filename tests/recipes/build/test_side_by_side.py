import os

import pytest

from recipes.build.side_by_side import side_by_side
from tests.support.alone import alone

forks = pytest.mark.skipif(
    not hasattr(os, "fork") or os.cpu_count() == 1, reason="this system makes no copies"
)


def test_the_answers_and_their_order_are_those_of_map() -> None:
    code = (
        "from recipes.build.side_by_side import side_by_side\n"
        "for ways in ([], [7], [7, 3], [7, 3, 11], [5, 2, 9, 4]):\n"
        "    print(list(side_by_side(lambda k: k * k, ways)) == [k * k for k in ways])"
    )
    assert alone(code).split() == ["True"] * 5


@forks
def test_every_second_call_is_made_in_a_copy() -> None:
    code = (
        "import os\nfrom recipes.build.side_by_side import side_by_side\n"
        "here = os.getpid()\n"
        "print([p == here for p in side_by_side(lambda k: os.getpid(), range(3))])"
    )
    assert alone(code) == "[True, False, True]"


@forks
def test_a_copy_that_is_no_longer_wanted_is_ended_at_once() -> None:
    code = (
        "import os, time\nfrom recipes.build.side_by_side import side_by_side\n"
        "read, write = os.pipe()\n"
        "def call(k):\n    os.write(write, b'%d %d\\n' % (k, os.getpid()))\n"
        "    time.sleep(600 * k)\n    return k\n"
        "answers = side_by_side(call, range(2))\n"
        "print(next(answers))\n"
        "said = b''\n"
        "while said.count(b'\\n') < 2:\n    said += os.read(read, 99)\n"
        "answers.close()\n"
        "copy = dict(map(int, line.split()) for line in said.splitlines())[1]\n"
        "try:\n    os.kill(copy, 0)\n    print('alive')\nexcept ProcessLookupError:\n    print('gone')"
    )
    assert alone(code).split() == ["0", "gone"]


@forks
def test_what_a_copy_could_not_do_is_done_here() -> None:
    code = (
        "import os\nfrom recipes.build.side_by_side import side_by_side\n"
        "here = os.getpid()\n"
        "def call(k):\n    if os.getpid() != here:\n        os._exit(3)\n    return k\n"
        "print(list(side_by_side(call, [8, 13])))"
    )
    assert alone(code) == "[8, 13]"


def test_an_error_of_a_call_is_raised_where_its_answer_is_asked_for() -> None:
    answers = side_by_side(lambda k: 12 // k, [4, 0])
    assert next(answers) == 3
    with pytest.raises(ZeroDivisionError):
        next(answers)


@pytest.mark.parametrize("size", [3.5, 5.3, 6.85, 8.1])
def test_circles_lie_at_the_same_places_whoever_makes_the_attempts(size: float) -> None:
    code = (
        "import numpy\nfrom shapely import box\nfrom geometry.packing import pack_circles\n"
        "from recipes.build.side_by_side import side_by_side\n"
        f"two = pack_circles(box(0, 0, {size}, 1.1 * {size}), 1.0, attempts=side_by_side)\n"
        f"one = pack_circles(box(0, 0, {size}, 1.1 * {size}), 1.0)\n"
        "print(numpy.array_equal(one, two), len(one) > 8)"
    )
    assert alone(code).split() == ["True", "True"]
