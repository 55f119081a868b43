from __future__ import annotations

import xml.etree.ElementTree as ET

from bench.plot import Curve, fitted, svg


def test_the_exponent_of_a_square_law_is_two() -> None:
    # By hand: 3 x size^2.
    exponent, factor = fitted(Curve("", "", (10, 20, 40, 80), (300.0, 1200.0, 4800.0, 19200.0)))
    assert (round(exponent, 9), round(factor, 9)) == (2.0, 3.0)


def test_the_plot_is_sound_xml_with_a_dot_for_every_measurement() -> None:
    curve = Curve("time & more", "s", (10, 20, 40), (1.0, 2.5, 6.0))
    root = ET.fromstring(svg([curve, curve], "two panels < three"))
    assert len(root.findall("{http://www.w3.org/2000/svg}circle")) == 6
