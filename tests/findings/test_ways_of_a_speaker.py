"""Ways of talking of single speakers: a verb that is only 's, honest asides, what is told again
of the other side, grades behind urging."""

import pytest
from builders import standing_of, transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()


def read(*lines: str) -> set[str]:
    made = extract(transcript(*lines), LEXICON, Settings(side="right"))
    return {f"{f.item} {f.side[0]} {f.value}" for f in standing_of(made)}


def power(**graded: str) -> set[str]:
    return {f"power.{name} r {value}" for name, value in graded.items()}


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("A pouch at C8, and C7's intact.", {"imaging.c7 r intact"}),
        ("Touch. C5's eight, C6's ten.", {"sensation.c5 r 8", "sensation.c6 r 10"}),
        ("Brachioradialis's a five, triceps's a four.",
         power(brachioradialis="5", triceps_brachii="4")),
    ],
)  # fmt: skip
def test_a_verb_that_is_only_an_s(said: str, found: set[str]) -> None:
    assert found <= read(said)


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("Triceps is four, and you know what that means, and biceps is five.",
         power(triceps_brachii="4", biceps_brachii="5")),
        ("If I'm honest the biceps is a two, and the triceps a three.",
         power(biceps_brachii="2", triceps_brachii="3")),
        ("Let me say it clearly, ADM is a one.", power(abductor_digiti_minimi="1")),
        ("ADM and APB, there was nothing less than a five.",
         power(abductor_digiti_minimi="5", abductor_pollicis_brevis="5")),
        ("FCR and FCU, nothing below a five.",
         power(flexor_carpi_radialis="5", flexor_carpi_ulnaris="5")),
        ("Teres minor, I couldn't get it on its own.", power(teres_minor="not_tested")),
        ("Supinator I can't tell apart from the biceps.", power(supinator="not_tested")),
    ],
)  # fmt: skip
def test_asides_and_bounds(said: str, found: set[str]) -> None:
    assert read(said) == found


@pytest.mark.parametrize(
    ("said", "left", "right"),
    [
        ("Biceps and triceps jerks were brisk on the right, and the same two were normal on the "
         "left.", "normal", "brisk"),
        ("Biceps and triceps jerks absent on the left, the same two normal on the right.",
         "absent", "normal"),
        ("Biceps and triceps jerks normal on the right. The same two reduced on the left.",
         "reduced", "normal"),
    ],
)  # fmt: skip
def test_the_same_ones_counted_of_the_other_side(said: str, left: str, right: str) -> None:
    names = ("biceps", "triceps")
    found = {f"reflex.{n} {s} {v}" for n in names for s, v in (("l", left), ("r", right))}
    assert read(said) == found


@pytest.mark.parametrize("no", ["nup", "nope", "nah"])
def test_a_grade_and_what_was_felt_behind_urging(no: str) -> None:
    said = f"EPL, lift your thumb, come on, lift it, {no}, zero, and no contraction in the tendon."
    name = "extensor_pollicis_longus"
    assert read(said) == {f"power.{name} r 0", f"contraction.{name} r absent"}


def test_counting_for_the_patient_grades_nothing() -> None:
    assert read("Triceps, push, one, two, three, and relax.") == set()


@pytest.mark.parametrize("said", ["right enough", "sure enough", "true enough"])
def test_enough_is_no_side(said: str) -> None:
    made = read("On the left, wrist drop, " + said + ".")
    assert made == {"posture.wrist_drop l present"}


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("A five was also given for ECRL, for EDC, and for EPL.",
         power(extensor_carpi_radialis_longus="5", extensor_digitorum="5",
               extensor_pollicis_longus="5")),
        ("A score of four was recorded for FCR and FCU.",
         power(flexor_carpi_radialis="4", flexor_carpi_ulnaris="4")),
        ("Five was awarded to the FCR and to the FCU, and three to the EDC.",
         power(flexor_carpi_radialis="5", flexor_carpi_ulnaris="5", extensor_digitorum="3")),
        ("A four went to the deltoid and the biceps.", power(deltoid="4", biceps_brachii="4")),
        ("FCR was marked at three, and a four was found in the FCU.",
         power(flexor_carpi_radialis="3", flexor_carpi_ulnaris="4")),
    ],
)  # fmt: skip
def test_a_grade_before_the_verb_that_gives_it(said: str, found: set[str]) -> None:
    assert read(said) == found


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("Lumbricals, the two radial ones are a zero and the two ulnar ones are a five.",
         power(lumbricals_1_2="0", lumbricals_3_4="5")),
        ("Interossei, the dorsal ones are a two and the palmar ones a three.",
         power(dorsal_interossei="2", palmar_interossei="3")),
        ("FCR and FCU all ones.", power(flexor_carpi_radialis="1", flexor_carpi_ulnaris="1")),
        ("Brachialis, it has two bosses really. A three.", power(brachialis="3")),
        ("FDS, not one thing in any finger, zero, and FPL's zero.",
         power(flexor_digitorum_superficialis="0", flexor_pollicis_longus="0")),
    ],
)  # fmt: skip
def test_what_only_counts(said: str, found: set[str]) -> None:
    assert read(said) == found


@pytest.mark.parametrize(
    "end",
    ["and that was the left arm I just did.", "those were the left.", "and that was the left."],
)
def test_a_side_told_of_a_run(end: str) -> None:
    made = read("Right arm. FPL zero, APB one.", f"FPL five, APB five, {end}")
    assert made == power(flexor_pollicis_longus="0", abductor_pollicis_brevis="1") | {
        "power.flexor_pollicis_longus l 5",
        "power.abductor_pollicis_brevis l 5",
    }


@pytest.mark.parametrize("name", ["clonus", "winging", "ptosis"])
def test_either_one_is_both_sides(name: str) -> None:
    sign = {"winging": "scapular_winging"}.get(name, name)
    assert read(f"No {name} on either one.") == {f"sign.{sign} {s} absent" for s in "lr"}


@pytest.mark.parametrize(
    ("finger", "area"),
    [
        ("Little finger", "ulnar_little_pulp"),
        ("Thumb", "median_thumb_pulp"),
        ("Middle finger", "median_middle_pulp"),
    ],
)
def test_the_pulp_named_behind_the_finger(finger: str, area: str) -> None:
    made = read(f"examiner: Touch. {finger}, the pulp?", "patient: Seven.")
    assert made == {f"sensation.{area} r 7"}


@pytest.mark.parametrize(
    ("said", "score"),
    [
        ("Nine. Er, no, ten, I was thinking about my lunch.", "10"),
        ("Six. No, eight, I was listening for the phone.", "8"),
        ("Two. Sorry, three, the train was so loud.", "3"),
    ],
)
def test_talk_behind_a_score_leaves_it(said: str, score: str) -> None:
    made = read("examiner: Touch, out of ten. Middle finger?", f"patient: {said}")
    assert made == {f"sensation.c7 r {score}"}


def test_none_is_said_of_the_pain_alone() -> None:
    made = read(
        "Passive external rotation I'm not pushing, we'll leave that.",
        "examiner: Any burning or electric shocks at all?",
        "patient: No, none.",
    )
    assert made == {"sign.neuropathic_pain r absent"}


@pytest.mark.parametrize("verb", ["straighten", "push", "bend"])
def test_a_grade_as_well_behind_an_instruction(verb: str) -> None:
    assert read(f"And {verb}, triceps, that's a five as well.") == power(triceps_brachii="5")


@pytest.mark.parametrize("again", ["could be a five", "might be a five", "maybe five"])
def test_a_doubt_behind_a_grade_is_asked_about(again: str) -> None:
    made = extract(transcript(f"Subscapularis four plus, {again}."), LEXICON, Settings())
    assert [f.value for f in standing_of(made)] == ["4+"]
    assert [q.rule for q in made.questions if q.kind == "value"] == ["hedge"]


@pytest.mark.parametrize(
    ("said", "many"), [("all six", 6), ("all five of them", 5), ("all four of them", 4)]
)
def test_how_many_had_a_value_is_no_second_one(said: str, many: int) -> None:
    names = ["EDC", "EIP", "EDM", "EPL", "EPB", "APL"][:many]
    made = extract(transcript(f"{', '.join(names)}. Three, {said}."), LEXICON, Settings())
    assert [f.value for f in standing_of(made)] == ["3"] * many
    assert not [q for q in made.questions if q.kind != "side"]


@pytest.mark.parametrize(
    "said",
    [
        "reduced, stiff at the end of it",
        "reduced, that's stiffness",
        "reduced as the joint is stiff",
    ],
)
def test_stiffness_limits_the_range(said: str) -> None:
    made = extract(transcript(f"Passive external rotation {said}."), LEXICON, Settings())
    assert [f.detail.get("limited_by") for f in standing_of(made)] == ["stiffness"]


@pytest.mark.parametrize(
    ("said", "hurt"),
    [
        ("Years ago he broke the right clavicle falling off a pony.", False),
        ("As a boy he broke his collarbone.", False),
        ("Three years ago he broke his collarbone in the crash.", True),
    ],
)
def test_a_hurt_of_long_ago_is_no_fact(said: str, hurt: bool) -> None:
    assert any("clavicle" in f for f in read(said)) == hurt


def test_a_study_made_today_is_not_asked_about() -> None:
    said = "Doctor Singh passed a needle for me today: serratus anterior was denervated."
    made = extract(transcript(said), LEXICON, Settings(side="right"))
    assert [f.item for f in standing_of(made)] == ["needle.serratus_anterior"]
    assert not made.questions


def test_a_ten_that_is_like_the_other_side_is_no_score() -> None:
    made = extract(
        transcript(
            "Right arm. APB five.",
            "Light touch, from zero until ten, ten being just like the left.",
            "examiner: C5?",
            "patient: Nine.",
        ),
        LEXICON,
        Settings(side="right"),
    )
    assert [(f.item, f.side, f.value) for f in standing_of(made)] == [
        ("power.abductor_pollicis_brevis", "right", "5"),
        ("sensation.c5", "right", "9"),
    ]
    assert not made.questions


@pytest.mark.parametrize(
    ("said", "name", "value"),
    [
        ("None of the intrinsics scored better than a two.", "intrinsics", "2"),
        ("ADM, neither better than a one.", "abductor_digiti_minimi", "1"),
        ("Neither the deltoid nor the biceps was above a one.", "deltoid", "1"),
        ("A grade of three was obtained in the biceps.", "biceps_brachii", "3"),
        ("Teres minor I can't separate from infraspinatus, which is a four.", "infraspinatus", "4"),
    ],
)
def test_a_bound_denies_no_power(said: str, name: str, value: str) -> None:
    assert f"power.{name} r {value}" in read(said)


@pytest.mark.parametrize(
    "said",
    [
        "Suppose a three was given to the biceps.",
        "A four was recorded at the last visit for the triceps.",
        "If a five went to the deltoid I'd be happy.",
    ],
)
def test_a_grade_that_nobody_gave_today(said: str) -> None:
    assert not {f for f in read(said) if f.startswith("power.")}


def test_either_one_grades_nothing() -> None:
    made = read("Deltoid and biceps zero, no contraction on either one.")
    assert not {f for f in made if f.startswith("power.") and not f.endswith(" 0")}
