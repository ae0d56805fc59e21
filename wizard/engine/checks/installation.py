"""Questions only the shop can answer. A question without an answer is unknown, never a pass."""

from __future__ import annotations

from kb.model.check import Question
from kb.model.record import Sides
from wizard.engine.checks.case import Answer, Case, NotRun, answer, unknown

# What to ask, by key of [answers]; common practice, no source.
QUESTIONS = {
    "access_hole": "How are the converter's or clutch's bolts reached, and the engine turned to reach them?",
    "galleries": "Do any new holes break into an oil gallery, water jacket or the crank's seal land?",
    "shifter": "Where does the shifter land, and what moves it there?",
    "cooler_lines": "Where do cooler lines, kickdown cable and breather go?",
    "mount": "What carries the gearbox's tail, and is the crossmember part of the frame?",
    "driveshaft": "Who shortens or lengthens the driveshaft, and how much slip is there?",
    "breather": "Does the plate cover a breather, drain or timing window?",
    "sump_rail": "Does the sump's rail or the rear cap stand proud of the joint face?",
    "electrics": "Who provides speed signal, neutral switch and controller?",
}
CONVERTER_ONLY = ("cooler_lines",)
_NO = ("no", "none", "false", "not yet", "")


def questions(sides: Sides) -> tuple[Question, ...]:
    """The shop's questions for this job with what was answered."""
    if sides.request.engine is None or sides.request.gearbox is None or not sides.kind:
        return ()
    given = dict(sides.request.answers)
    asked = {
        key: text
        for key, text in QUESTIONS.items()
        if not (key in CONVERTER_ONLY and sides.kind != "converter")
    }
    extra = {
        key: "The shop's own question." for key in given if key not in asked and key != "shield"
    }
    return tuple(
        Question(key=key, asks=text, answer=given.get(key, ""))
        for key, text in (asked | extra).items()
    )


def shop_questions(case: Case) -> Answer:
    """Every question of the installation has its answer."""
    asked = questions(case.sides)
    if not asked or not (case.sides.whole or case.sides.request.answers):
        return NotRun(("engine", "gearbox"))
    open_ones = [one.key for one in asked if not one.answer.strip()]
    if open_ones:
        says = f"{len(open_ones)} of {len(asked)} questions of the installation are open."
        return unknown("shop-questions", tuple(f"answers.{key}" for key in open_ones), says)
    return answer("shop-questions", "pass", "Every question of the installation is answered.")


def shield(case: Case) -> Answer:
    """Whether a shield is called for, for high speed or competition."""
    engine = case.sides.request.engine
    if engine is None or case.sides.request.gearbox is None:
        return NotRun(("engine", "gearbox"))
    if not (case.sides.whole or case.sides.request.answers):
        return NotRun(("engine.face", "gearbox.face"))
    said = dict(case.sides.request.answers).get("shield", "").strip()
    if not said:
        speed = engine.max_speed.value if engine.max_speed else None
        fast = speed is not None and speed >= case.limit("shield.speed")
        says = "Is a scatter shield called for by speed, class or local rules?"
        if fast:
            says = f"At {speed:.0f} rpm a scatter shield is worth the question: is one called for?"
        return unknown("shield", ("answers.shield",), says)
    return answer("shield", "pass", f"Shield: {said}.", because=("answers.shield",))


CHECKS = {"shield": shield, "shop-questions": shop_questions}
