"""Numbers: what each is called, what it is about, how it is worked out, what its doubt comes from."""

from collections.abc import Mapping
from types import MappingProxyType

from fieldlog.quantity.page_number import Texts
from fieldlog.retrofit.offers.sense import FIGURE_WORDS, CylinderEnd
from fieldlog.words.eye import ENDS, ENDS_OF_LINK

# of an offer against its link; `{need}` is where the need comes from, `{rod}` what the other lift rod is called
OF_AN_OFFER: Mapping[str, Texts] = MappingProxyType(
    {
        "closed_to_need": Texts("closed to the need", "In hand closed: the length needed ({need}) less closed"),
        "open_to_need": Texts("open to the need", "In hand open: open less the length needed ({need})"),
        "closed_to_link": Texts("closed to the link", "Closed less the link closed: longer is +"),
        "open_to_link": Texts("open to the link", "Open less the link open: longer is +"),
        "in_hand_closed": Texts("in hand closed", "In hand closed at the length the link is set to"),
        "in_hand_open": Texts("in hand open", "In hand open at the length the link is set to"),
        "mid_stroke": Texts("mid stroke", "Mid stroke less {rod}: nought rolls as far both ways"),
        "shorter_from_level": Texts("shorter from level", "{rod} less closed"),
        "longer_from_level": Texts("longer from level", "Open less {rod}"),
        "travel": Texts("travel", "Travel: open less closed"),
        "dead_length": Texts("dead length", "Dead length: closed less stroke"),
        "dead_length_without_stroke": Texts("dead length", "Dead length: twice closed less open"),
    }
)


def of_an_offer(number_id: str, need: str, rod: str) -> Texts:
    """Return what a number of an offer against its link is called."""
    word, about, _ = OF_AN_OFFER[number_id]
    return Texts(word, about.replace("{need}", need).replace("{rod}", rod))


def room_on_pin(at: str, eye: CylinderEnd) -> Texts:
    """Return what the room of an eye on its pin is called."""
    end = ENDS_OF_LINK[at]
    return Texts(f"room on the pin at the {end}", f"Hole at the {ENDS[eye]} less the pin at the {end}")


def room_in_gap(at: str, eye: CylinderEnd) -> Texts:
    """Return what the room of an eye in its gap is called."""
    end = ENDS_OF_LINK[at]
    return Texts(f"room in the gap at the {end}", f"Gap at the {end} less the width of the eye at the {ENDS[eye]}")


def figure_of_an_offer(key: str) -> Texts:
    """Return what a figure of an offer is called."""
    word = FIGURE_WORDS[key]
    return Texts(word, f"{word[:1].upper()}{word[1:]} of the offer")
