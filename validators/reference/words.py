"""The word lists that choices and verdicts use; the number of a word is its code."""

from enum import IntEnum
from typing import Self


class Word(IntEnum):
    """One word of a list: a code that counts from 0, and the text a person sees."""

    text: str

    def __new__(cls, code: int, text: str) -> Self:
        """Make the code an integer and keep the text beside it."""
        word = int.__new__(cls, code)
        word._value_ = code
        word.text = text
        return word


class Verdict(Word):
    """What a figure says against its limits."""

    NOT_MEASURED = 0, "not measured"
    NO_LIMIT_SET = 1, "no limit set"
    CHECK_LIMITS = 2, "check limits"
    UNDER = 3, "under"
    OVER = 4, "over"
    WITHIN = 5, "within"
    TOO_CLOSE = 6, "too close to call"


class LimitState(Word):
    """Whether a pair of limits can be used."""

    NO_LIMIT_SET = 0, "no limit set"
    CHECK_LIMITS = 1, "check limits"
    SET = 2, "set"


class Origin(Word):
    """Where a limit comes from."""

    PART_MAKER = 0, "part maker"
    COMMON_PRACTICE = 1, "common practice"
    BUILDER = 2, "builder"


class YesNo(Word):
    """A plain choice."""

    NO = 0, "no"
    YES = 1, "yes"


class EntryForm(Word):
    """How readings are typed."""

    SIZE = 0, "size"
    DEVIATION = 1, "deviation"


class DialSense(Word):
    """What a plus on the dial means."""

    PLUS_IS_BIGGER = 0, "plus is bigger"
    PLUS_IS_SMALLER = 1, "plus is smaller"


class GaugeUse(Word):
    """How a gauge is read."""

    READ_DIRECTLY = 0, "read directly"
    SET_ON_A_MASTER = 1, "set on a master"


class Plate(Word):
    """Whether the torque plate was on."""

    OFF = 0, "off"
    ON = 1, "on"


class PlateState(Word):
    """The torque plate over all bores."""

    NOT_NOTED = 0, "not noted"
    OFF = 1, "off at every bore"
    ON = 2, "on at every bore"
    MIXED = 3, "mixed: do not compare"


class Candidate(Word):
    """The letters of the combinations."""

    A = 0, "A"
    B = 1, "B"
    C = 2, "C"
    D = 3, "D"


class CandidateState(Word):
    """The state of one combination."""

    WAITING = 0, "waiting"
    CHECK_ENTRY = 1, "check entry"
    COMPLETE = 2, "complete"
    UNUSUAL = 3, "unusual"


class TemperatureState(Word):
    """What is to be thought of a pair of temperatures."""

    WAITING = 0, "waiting"
    GOOD = 1, "good"
    SUSPECT = 2, "suspect"
    CHECK_ENTRY = 3, "check entry"


class EntryState(Word):
    """The state of a grid of readings."""

    WAITING = 0, "waiting"
    CHECK_ENTRY = 1, "check entry"
    COMPLETE = 2, "complete"


class MarkState(Word):
    """Whether a mark is used once."""

    NO_MARK = 0, "no mark"
    SAME_MARK_TWICE = 1, "same mark twice"
    ONLY_ONCE = 2, "only once"


class CrownState(Word):
    """Which piston sits in a bore."""

    NOT_READ = 0, "not read"
    ANOTHER_PISTON = 1, "another piston"
    AS_MEASURED = 2, "as measured"


class PinFit(Word):
    """How the pin sits in the rod."""

    FLOATING = 0, "floating"
    PRESSED = 1, "pressed"


class ThickerHalf(Word):
    """Where the thicker of two shells may sit."""

    EITHER = 0, "either"
    UPPER = 1, "upper"
    LOWER = 2, "lower"


class ClosureState(Word):
    """Whether two routes to one clearance agree."""

    ONE_ROUTE_ONLY = 0, "one route only"
    AGREE = 1, "routes agree"
    DISAGREE = 2, "routes disagree"


class ShellAdvice(Word):
    """What to do about a pair of shells."""

    NOT_MEASURED = 0, "not measured"
    NO_PAIR_OFFERED = 1, "no pair offered"
    KEEP = 2, "keep"
    CHANGE = 3, "change"
    ODD_PAIR = 4, "odd pair"


class PickFit(Word):
    """Whether the clearance with the nearest pair of shells is within the limits."""

    WAITING = 0, "waiting"
    OUTSIDE = 1, "outside the limits"
    WITHIN = 2, "within the limits"


class HoneState(Word):
    """Whether a bore can be finished to its order."""

    WAITING = 0, "waiting"
    ALREADY_TOO_BIG = 1, "bore already too big"
    TOO_LITTLE_LEFT = 2, "too little left to clean up"
    CAN_BE_FINISHED = 3, "can be finished"


class CutState(Word):
    """Whether a deck cut is possible."""

    WAITING = 0, "waiting"
    NOT_POSSIBLE = 1, "not possible: metal cannot be added"
    CUT = 2, "cut"


class ReachState(Word):
    """Whether the wanted ratio is within reach of the chamber."""

    WAITING = 0, "waiting"
    CANNOT_BE_REACHED = 1, "cannot be reached"
    CAN_BE_REACHED = 2, "can be reached"


class RingAction(Word):
    """What to do about a ring gap."""

    NOT_MEASURED = 0, "not measured"
    FILE = 1, "file"
    LEAVE = 2, "leave"
    OTHER_RING = 3, "cannot be filed back: other ring"
    MEASURE_AGAIN = 4, "measure again"
    CHECK_LIMITS = 5, "check limits"


class DeckBasis(Word):
    """Where the rocked figure comes from."""

    WAITING = 0, "waiting"
    PREDICTED = 1, "predicted"
    MEASURED = 2, "measured"


class RockState(Word):
    """What the measured rock says."""

    NOT_MEASURED = 0, "not measured"
    NOT_ROCKED_FULLY = 1, "not rocked fully"
    AS_PREDICTED = 2, "as predicted"
    WORN = 3, "worn skirt or wrong length"


class GasketState(Word):
    """Whether an offered gasket clears."""

    NOT_MEASURED = 0, "not measured"
    NONE_PASSES = 1, "none passes"
    CLEARS = 2, "clears"


class OfferState(Word):
    """What an offered gasket would give on every bank."""

    NOT_OFFERED = 0, "not offered"
    NOT_MEASURED = 1, "not measured"
    DOES_NOT_CLEAR = 2, "does not clear"
    RATIO_NOT_KNOWN = 3, "clears, ratio not known"
    RATIO_OUTSIDE = 4, "clears, ratio outside limits"
    CLEARS = 5, "clears"


class GasketFit(Word):
    """The gasket bore against the cylinder bores."""

    WAITING = 0, "waiting"
    SMALLER_THAN_BORE = 1, "smaller than the bore"
    CLEARS_BORE = 2, "clears the bore"


class ItemState(Word):
    """What a checked item does to the assembly."""

    OPEN = 0, "open"
    HOLD = 1, "hold"
    RELEASED = 2, "released"


class StepState(Word):
    """Whether a step of the assembly may be done."""

    HELD = 0, "held"
    SIGNED_BUT_HELD = 1, "signed but held"
    AFTER_EARLIER = 2, "after an earlier step"
    CLEARED = 3, "cleared"
    DONE = 4, "done"


class FittedState(Word):
    """Whether the parts that went into a bore are those that were measured for it."""

    NOT_NOTED = 0, "not noted"
    ANOTHER_PART = 1, "another part"
    AS_MEASURED = 2, "as measured"


class AssemblyState(Word):
    """Whether a measurement holds the assembly."""

    HELD = 0, "held"
    FREE = 1, "no measurement holds it"


class ThreadForm(Word):
    """The rule that a thread follows."""

    ISO_METRIC = 0, "ISO metric"
    UNIFIED = 1, "unified"


class BoltAction(Word):
    """What to do about a rod bolt."""

    NOT_MEASURED = 0, "not measured"
    TIGHTEN_AGAIN = 1, "oil and tighten again"
    LEAVE = 2, "leave"
    REPLACE = 3, "replace the bolt"
    MEASURE_AGAIN = 4, "measure again"
    CHECK_LIMITS = 5, "check limits"


class WeighingState(Word):
    """Whether the ends of a rod weigh what the whole rod weighs."""

    ONE_WEIGHING_ONLY = 0, "one weighing only"
    AGREE = 1, "weighings agree"
    DISAGREE = 2, "weighings disagree"


class BalanceNeed(Word):
    """Whether the crank is to be balanced with bob-weights."""

    WAITING = 0, "waiting"
    NOT_NEEDED = 1, "not needed"
    NEEDED = 2, "needed"


class ShimState(Word):
    """What to do about a shim."""

    WAITING = 0, "waiting"
    NO_SHIM_OFFERED = 1, "no shim offered"
    KEEP = 2, "keep"
    CHANGE = 3, "change"


class RatioState(Word):
    """Whether a compression ratio is usual."""

    WAITING = 0, "waiting"
    SUSPECT = 1, "suspect"
    USUAL = 2, "usual"


class CrankTurn(Word):
    """Which way the crank turns, seen from the front."""

    CLOCKWISE = 0, "clockwise"
    ANTICLOCKWISE = 1, "anticlockwise"


class RingSideUp(Word):
    """How the marks of the rings stand."""

    UP = 0, "mark up"
    DOWN = 1, "mark down"
    NO_MARK = 2, "no mark on the ring"


class FrontMark(Word):
    """How the front mark of a piston stands."""

    TOWARD_FRONT = 0, "toward the front"
    TURNED_ROUND = 1, "turned round"
    NO_MARK = 2, "no mark on the piston"


class AsDrawn(Word):
    """Whether the gaps stand as drawn."""

    AS_DRAWN = 0, "as drawn"
    OTHERWISE = 1, "otherwise"


class RingSetState(Word):
    """For which bore the ring set in a bore was filed."""

    NOT_NOTED = 0, "not noted"
    NO_BORE = 1, "filed for no bore"
    ANOTHER_BORE = 2, "filed for another bore"
    THIS_BORE = 3, "filed for this bore"


class HoldState(Word):
    """Whether a point that holds the assembly is passed."""

    NOT_NOTED = 0, "not noted"
    PUT_RIGHT = 1, "put right"
    PASSED = 2, "passed"


class RetainerState(Word):
    """Whether both retainers of a pin are there and seated."""

    NOT_NOTED = 0, "not noted"
    PUT_RIGHT = 1, "put right"
    NOT_NEEDED = 2, "not needed"
    PASSED = 3, "passed"


class RetainerSeat(Word):
    """Which retainers of a pin are seated."""

    BOTH_ENDS = 0, "both ends"
    ONE_END = 1, "one end"
    NO_END = 2, "no end"


class OilChoice(Word):
    """Which of the oils is used."""

    OIL_A = 0, "oil A"
    OIL_B = 1, "oil B"
    OIL_C = 2, "oil C"


class DutyChoice(Word):
    """How the engine runs."""

    HIGHEST_SPEED = 0, "highest speed"
    FULL_LOAD = 1, "full load"


class FilmState(Word):
    """Whether the formula for the oil film holds."""

    WAITING = 0, "waiting"
    NO_CLEARANCE = 1, "no clearance when hot"
    OUTSIDE_LENGTH = 2, "outside range of formula: L/D"
    OUTSIDE_HEAVY = 3, "outside range of formula: heavy load"
    OUTSIDE_LIGHT = 4, "outside range of formula: light load"
    IN_RANGE = 5, "in range of formula"


LISTS: dict[str, type[Word]] = {
    "verdict": Verdict,
    "limit_state": LimitState,
    "origin": Origin,
    "yes_no": YesNo,
    "entry_form": EntryForm,
    "dial_sense": DialSense,
    "gauge_use": GaugeUse,
    "plate": Plate,
    "plate_state": PlateState,
    "candidate": Candidate,
    "candidate_state": CandidateState,
    "temperature_state": TemperatureState,
    "entry_state": EntryState,
    "mark_state": MarkState,
    "crown_state": CrownState,
    "pin_fit": PinFit,
    "thicker_half": ThickerHalf,
    "closure_state": ClosureState,
    "shell_advice": ShellAdvice,
    "pick_fit": PickFit,
    "hone_state": HoneState,
    "cut_state": CutState,
    "reach_state": ReachState,
    "ring_action": RingAction,
    "deck_basis": DeckBasis,
    "rock_state": RockState,
    "gasket_state": GasketState,
    "offer_state": OfferState,
    "gasket_fit": GasketFit,
    "item_state": ItemState,
    "assembly_state": AssemblyState,
    "thread_form": ThreadForm,
    "bolt_action": BoltAction,
    "step_state": StepState,
    "fitted_state": FittedState,
    "weighing_state": WeighingState,
    "balance_need": BalanceNeed,
    "shim_state": ShimState,
    "ratio_state": RatioState,
    "crank_turn": CrankTurn,
    "ring_side_up": RingSideUp,
    "front_mark": FrontMark,
    "as_drawn": AsDrawn,
    "ring_set_state": RingSetState,
    "hold_state": HoldState,
    "retainer_state": RetainerState,
    "retainer_seat": RetainerSeat,


    "oil_choice": OilChoice,
    "duty_choice": DutyChoice,
    "film_state": FilmState,
}
"""Every list by its name; `tuple(LISTS[name])` runs in the order of the codes."""
