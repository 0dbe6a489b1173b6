"""The list of nominal pins."""

from fieldlog.standards.joints import METRIC_PINS, NOMINAL_PINS, ONE_SIZE, is_one_size


def test_pins_ascend_and_are_named_once() -> None:
    """The list is in order of size and no name stands twice."""
    sizes = [pin.mm for pin in NOMINAL_PINS]
    assert sizes == sorted(sizes)
    assert len({pin.name for pin in NOMINAL_PINS}) == len(NOMINAL_PINS) == 33


def test_metric_pin_is_what_its_name_says() -> None:
    """A metric pin's name is its size."""
    for pin in METRIC_PINS:
        assert f"{pin.mm} mm" == pin.name


def test_pins_of_one_size_are_within_a_tenth() -> None:
    """Nothing is called one size that differs by more than 0.1 mm, and both names are in the list."""
    size = {pin.name: pin.mm for pin in NOMINAL_PINS}
    for first, second in ONE_SIZE:
        assert 0 < abs(float(size[first] - size[second])) <= 0.1
    assert is_one_size("19 mm", "19 mm")
    assert not is_one_size("19 mm", "35 mm")
