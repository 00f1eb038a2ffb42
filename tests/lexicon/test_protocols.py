"""Protocols: complete against the international standards, and refused when broken."""

from pathlib import Path

import pytest

from dictate2exam.errors import InputError, LexiconError
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.lexicon.protocols import Protocol, covers, protocol_names, read_protocol

LEXICON = load_lexicon()

# International Standards for Neurological Classification of Spinal Cord Injury (ASIA and ISCoS,
# worksheet): upper-limb key muscle functions, and key sensory points of the upper limb.
KEY_MUSCLES = {
    "c5": ("elbow flexors", {"power.elbow_flexion", "power.biceps_brachii", "power.brachialis"}),
    "c6": ("wrist extensors", {"power.wrist_extension", "power.extensor_carpi_radialis_longus"}),
    "c7": ("elbow extensors", {"power.elbow_extension", "power.triceps_brachii"}),
    "c8": (
        "finger flexors (middle finger, end joint)",
        {"power.finger_flexion", "power.flexor_digitorum_profundus_radial"},
    ),
    "t1": (
        "finger abductors (little finger)",
        {"power.finger_abduction", "power.abductor_digiti_minimi"},
    ),
}
KEY_POINTS = ("c4", "c5", "c6", "c7", "c8", "t1", "t2")

# Common practice, no source: what a full examination of the plexus holds beyond the keys.
ALSO = [
    "power.trapezius",
    "power.rhomboids",
    "power.serratus_anterior",
    "power.supraspinatus",
    "power.infraspinatus",
    "power.deltoid",
    "power.latissimus_dorsi",
    "power.pectoralis_major_clavicular",
    "power.pectoralis_major_sternocostal",
    "sign.horner",
    "sign.scapular_winging",
    "sign.percussion.supraclavicular",
    "reflex.biceps",
    "reflex.brachioradialis",
    "reflex.triceps",
    "sign.hoffmann",
    "pulse.radial",
]


def required(protocol: Protocol) -> dict[str, set[str]]:
    return {r.item: {r.item, *r.alternatives} for r in protocol.requirements if r.required}


@pytest.mark.parametrize("name", ["full", "screen"])
@pytest.mark.parametrize("level", KEY_MUSCLES)
def test_every_key_muscle_function_is_required(name: str, level: str) -> None:
    _, wanted = KEY_MUSCLES[level]
    protocol = read_protocol(LEXICON.folder, name)
    (asked,) = [r for r in protocol.requirements if r.key == level and r.item.startswith("power.")]
    assert asked.required
    assert wanted <= {asked.item, *asked.alternatives}


@pytest.mark.parametrize("name", ["full", "screen"])
@pytest.mark.parametrize("level", KEY_POINTS)
def test_every_key_sensory_point_is_required(name: str, level: str) -> None:
    assert f"sensation.{level}" in required(read_protocol(LEXICON.folder, name))


@pytest.mark.parametrize("item", ALSO)
def test_the_full_protocol_goes_beyond_the_keys(item: str) -> None:
    assert item in required(read_protocol(LEXICON.folder, "full"))


# Outside check: the donors of the cited facts (key MOR05 of lexicon/sources.csv; donors 1 to 4 also
# TRIAX21, HICKS25), with the item that grades them. Intercostal nerves and the C7 root of the other
# side have no item of their own.
DONORS = {
    "power.trapezius": "accessory",
    "power.elbow_extension": "triceps branch",
    "power.flexor_carpi_ulnaris": "FCU",
    "power.flexor_carpi_radialis": "FCR",
    "power.flexor_digitorum_superficialis": "FDS",
    "power.pectoralis_major_sternocostal": "medial pectoral",
    "power.latissimus_dorsi": "thoracodorsal",
    "sign.hemidiaphragm": "phrenic",
    "power.supinator": "supinator branches",
    "power.elbow_flexion": "brachialis branch",
    "power.pronator_quadratus": "pronator quadratus branch",
}


def test_possible_donors_are_marked() -> None:
    marked = {r.item: r.donor for r in read_protocol(LEXICON.folder, "full").requirements}
    assert {item for item, donor in marked.items() if donor} == set(DONORS)
    for item, donor in DONORS.items():
        assert donor in marked[item]


def test_the_full_protocol_has_every_part_of_the_examination() -> None:
    """The parts of a plexus examination in their usual order: common practice, no source."""
    protocol = read_protocol(LEXICON.folder, "full")
    assert [section.section for section in protocol.sections] == [
        "inspection_front",
        "inspection_back",
        "scapula",
        "shoulder",
        "pectorals_latissimus",
        "elbow_forearm",
        "hand",
        "sensation",
        "percussion",
        "reflexes",
        "vascular",
    ]


@pytest.mark.parametrize("name", protocol_names(LEXICON.folder))
def test_only_the_minimum_blocks_and_every_question_says_how(name: str) -> None:
    protocol = read_protocol(LEXICON.folder, name)
    assert protocol.minimum
    assert all(r.how.endswith(".") for r in protocol.requirements if r.required)


def test_an_unknown_protocol_names_the_known_ones() -> None:
    with pytest.raises(InputError, match=r"full.*screen"):
        read_protocol(LEXICON.folder, "../full")


def test_an_unknown_key_is_named(tmp_path: Path) -> None:
    (tmp_path / "protocols").mkdir()
    (tmp_path / "protocols" / "own.toml").write_text(
        'label = "Own"\n[[sections]]\nsection = "a"\nlabel = "A"\n'
        'items = [{ item = "power.deltoid", requierd = true }]\n'
    )
    with pytest.raises(LexiconError, match="requierd"):
        read_protocol(tmp_path, "own")


@pytest.mark.parametrize(
    ("item", "examined", "expected"),
    [
        ("power.deltoid", "power.deltoid", True),
        ("power.deltoid", "power.deltoid_middle", True),
        ("power.deltoid_middle", "power.deltoid", True),
        ("power.deltoid", "wasting.deltoid", False),
        ("wasting.*", "wasting.thenar", True),
        ("wasting.*", "power.deltoid", False),
        ("power.deltoid_middle", "power.deltoid_anterior", False),
    ],
)
def test_what_counts_as_examined(item: str, examined: str, expected: bool) -> None:
    assert covers(item, {examined}, LEXICON.by_id) is expected
