import pytest

from recipes.build.aside import Aside
from tests.support.alone import alone


@pytest.mark.skipif(not hasattr(__import__("os"), "fork"), reason="this system cannot fork")
def test_the_process_answers_and_is_gone() -> None:
    code = (
        "from recipes.build.aside import Aside\nimport os\n"
        "with Aside('operator', 'mul') as a:\n    child = a._child\n    a.send(6, 7)\n"
        "    print(a.result(6, 7), child > 0)\n"
        "try:\n    os.kill(child, 0)\n    print('alive')\nexcept ProcessLookupError:\n    print('gone')"
    )
    assert alone(code).split() == ["42", "True", "gone"]


@pytest.mark.parametrize("send", ["a.send(6, 8)", "pass", "a.send(1, 0)"])
def test_another_question_or_a_failed_process_is_answered_in_place(send: str) -> None:
    code = f"from recipes.build.aside import Aside\nwith Aside('operator', 'floordiv') as a:\n    {send}\n    print(a.result(43, 7))"
    assert alone(code) == "6"


def test_a_process_that_is_not_asked_for_its_answer_is_ended() -> None:
    code = "from recipes.build.aside import Aside\nwith Aside('time', 'sleep') as a:\n    a.send(60)\nprint('done')"
    assert alone(code) == "done"


def test_errors_come_from_the_call_itself() -> None:
    with Aside("operator", "floordiv") as a:
        a.send(1, 0)
        with pytest.raises(ZeroDivisionError):
            a.result(1, 0)


def test_packing_aside_gives_the_same_places() -> None:
    code = (
        "import shapely, numpy\nfrom recipes.build.aside import Aside\n"
        "from geometry.packing import pack_circles\n"
        "room = shapely.Polygon([(0, 0), (9.3, 0.7), (8.1, 4.9), (0.4, 3.8)])\n"
        "with Aside('geometry.packing', 'pack_circles') as a:\n"
        "    a.send(room, 0.83)\n    found = a.result(room, 0.83)\n"
        "print(numpy.array_equal(found, pack_circles(room, 0.83)), len(found) > 20)"
    )
    assert alone(code).split() == ["True", "True"]
