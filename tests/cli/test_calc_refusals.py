"""What ``callnotes calc`` refuses: nonsense, and pairs that make nonsense of a sum. One line, exit status 2."""

from __future__ import annotations

import shlex

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callnotes.cli.calc import work_out
from callnotes.errors import CallnotesError
from callnotes.trade.sums import Sum, load_sums

from .conftest import Command

SUMS = load_sums()


@pytest.mark.parametrize(
    ("ask", "says"),
    [
        ("shrt 3", "calc: no sum 'shrt'; did you mean short?"),
        ("ohmmeter", "calc: no sum 'ohmmeter'; callnotes calc lists them all"),
        ("short", "the reading is missing (resistance tip to ring)"),
        ("short 312", "312 of what? say it with its unit, ohm; e.g. callnotes calc short 312 ohm"),
        ("short 312 floz --gauge 24", "312 of what?"),
        ("short 312floz --gauge 24", "'floz' is no unit here"),
        ("short twelve ohm --gauge 24", "'twelve' is no number"),
        ("short -5 ohm --gauge 24", "cannot be negative, but is -5"),
        ("short 312 V --gauge 24", "312 V does not fit the reading; give it in ohm"),
        ("short 312 ohm", "the gauge is missing"),
        ("short 312 ohm --gauge 99", "gauge (AWG) must be a whole number from 0 to 40, not 99"),
        ("short 312 ohm --gauge 24 kft", "'kft' is one too many"),
        ("short 312 ohm --gauge 24.5", "the gauge must be a whole number, not 24.5"),
        ("short 312 ohm --guage 24", "no option --guage; perhaps --gauge"),
        ("short 312 ohm --gauge 24 --gauge 26", "--gauge was given twice"),
        ("short 312 ohm --gauge", "--gauge says nothing"),
        ("short 312 ohm --gauge 24 --temperature 900F", "a cable at 482.222 degC?"),
        ("short 1 ohm --gauge 24 --leads 2 ohm", "resistance less the leads cannot be negative"),
        ("short 312 ohm --gauge 24 --length 3000ft", "is more than the whole cable has (154 ohm): no short inside it"),
        ("short 40 kohm --gauge 24", "40000 ohm is no short on copper"),
        ("short 1e999 ohm --gauge 24", "is no short on copper"),
        ("open 84 V", "84 V does not fit the reading; give it in nF"),
        ("open -1 nF", "capacitance cannot be negative"),
        ("length 312 ohm 0 nF --gauge 24", "the capacitance must be more than 0"),
        ("loop", "calc loop: no cable was given"),
        ("pair 6001", "from 1 to 6000, not 6001"),
        ("pair 132 --cable 100", "a 100-pair cable has no pair 132"),
        ("pair 12.5", "the pair must be a whole number, not 12.5"),
        ("pair white-red", "both tip colors"),
        ("binder 25", "a unit has binders 1 to 24, not 25"),
        ("binder violet slate", "violet-slate is no binder color"),
        ("row 51", "from 1 to 50, not 51"),
        ("jack RJ99", "no jack 'RJ99' here"),
        ("wiremap 1 2 3", "it takes two ends"),
        ("balance 84 dBrnC 18 dB", "18 dB does not fit the noise; give it in dBrnC"),
        ("headroom noise 22 dB", "22 dB is no noise: say it in dBrnC"),
        ("headroom weather 22 dB", "no published limit here for 'weather'"),
        ("headroom noise 22 dBrnC --profile texas", "no limits named 'texas'"),
        ("level 5 ft", "give it in dBm, dBrnC, V or mW"),
        ("poe 90 W 10 m", "90 W is more than class 8 allows a device"),
        ("poe 25.5 W", "how long is the cable?"),
        ("digit 7 --gauge 24", "no option --gauge; it takes none"),
        ("digit E", "no touch-tone key 'E'"),
        ("elevator fifty", "'fifty' is no number"),
        ("911 411", "does not end in 911"),
        ("jack RJ31X", "callnotes calc alarm-jack"),
        ("optical 1 km --fiber plastic", "'plastic' is no fiber here"),
        ("dialing 0", "from 1 to 1000, not 0"),
    ],
)
def test_nonsense_is_one_clear_line(callnotes: Command, ask: str, says: str) -> None:
    said = callnotes("calc", *shlex.split(ask))
    assert (said.status, said.out) == (2, "")
    assert says in said.err
    assert said.err.startswith("callnotes: ")
    assert said.err.count("\n") == 1


WORDS = [
    "0",
    "-1",
    "7",
    "24",
    "1e300",
    "26:100ft",
    "3",
    "ohm",
    "12 ft",
    "5V",
    "2W",
    "nF",
    "dB",
    "-3dBm",
    "x",
    "red-blue",
    "",
]


@pytest.mark.parametrize("one", SUMS.sums, ids=lambda one: one.name)
@given(data=st.data())
@settings(derandomize=True, max_examples=60, deadline=None)
def test_whatever_is_said_gets_an_answer_or_one_line(one: Sum, data: st.DataObject) -> None:
    options = [f"--{each.name}" for each in one.inputs if each.option]
    said = data.draw(
        st.lists(st.sampled_from([*WORDS, *options, *(w for e in one.examples for w in e.ask.split()[1:])]))
    )
    try:
        line = work_out(one, said, SUMS).line
    except CallnotesError as error:
        line = str(error)
    assert line
    assert "\n" not in line


REFUSED = [(one.name, word) for one in SUMS.sums for refusal in one.refused for word in refusal.when]


@pytest.mark.parametrize(("name", "word"), [*REFUSED, ("short", "moonlight")])
def test_a_pair_that_makes_nonsense_of_the_sum_gets_no_figure(callnotes: Command, name: str, word: str) -> None:
    one = SUMS.named(name)
    assert one is not None
    said = callnotes("calc", *shlex.split(one.examples[0].ask), "--with", word)
    assert (said.status, said.out) == (2, "")
    assert f"calc {name}: " in said.err
    assert said.err.count("\n") == 1


def test_a_refusal_speaks_of_intermittent_faults_and_of_joints_in_series() -> None:
    # Section on how far the values may be used: a device's resistance or a bad joint gives nonsense; common practice,
    # no published source.
    assert {("short", "intermittent"), ("short", "joint"), ("short", "device"), ("open", "voltage")} <= set(REFUSED)
