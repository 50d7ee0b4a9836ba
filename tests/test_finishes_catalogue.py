"""The catalogue: what must be in it, where every number comes from, and what a wrong file is told."""

import re
from collections.abc import Sequence
from dataclasses import fields
from pathlib import Path

import pytest

from finishes.catalogue import CHOICES, Catalogue, CatalogueError, load
from finishes.catalogue.count import count, tagged_values
from finishes.catalogue.kinds import READERS
from finishes.lamps import SPECTRA
from finishes.tagged import TAGS


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return load()


def test_there_is_enough_to_choose_from(catalogue: Catalogue) -> None:
    assert sum(entry.kind != "board" for entry in catalogue.timber.values()) >= 8
    assert "MDF" in catalogue.timber
    assert len(catalogue.stain) >= 12
    assert {"clear", "limed white"} <= set(catalogue.stain)
    assert {entry.medium for entry in catalogue.stain.values()} == {"penetrating", "film"}
    assert {"none", "oil", "matt", "satin", "gloss"} <= set(catalogue.topcoat)
    assert len(catalogue.fabric) >= 6
    assert {entry.kind for entry in catalogue.fabric.values()} == {"fabric", "paint"}
    plain = [entry for name, entry in catalogue.lamp.items() if name not in SPECTRA]
    assert len(plain) >= 9
    assert {entry.spectrum for entry in plain} == set(SPECTRA)


def test_lamps_answer_to_plain_words_and_to_spectra(catalogue: Catalogue) -> None:
    assert catalogue.light("2700 K LED, CRI 80").weights is catalogue.light("LED-B1").weights
    assert catalogue.light("").name == "D65"


def test_no_optical_constant_stands_without_source_and_tag(catalogue: Catalogue) -> None:
    for kind in READERS:
        for name, entry in catalogue.entries(kind).items():
            tagged = list(tagged_values(entry))
            assert tagged, f"{kind} {name} has no sourced value"
            for value in tagged:
                assert value.tag in TAGS
                assert value.source.strip(), f"{kind} {name}"


def test_numbers_that_are_not_judged_name_a_real_source(catalogue: Catalogue) -> None:
    for kind in READERS:
        for name, entry in catalogue.entries(kind).items():
            for value in tagged_values(entry):
                if value.tag in ("published", "computed"):
                    assert "memory" not in value.source.lower(), f"{kind} {name}"
                if value.tag == "practice":
                    assert "ommon " in value.source or "sk for" in value.source, f"{kind} {name}"


def test_the_count_of_indicative_entries_says_the_truth(catalogue: Catalogue) -> None:
    found = count(catalogue)
    assert found.entries["timber"] == found.indicative["timber"] == len(catalogue.timber)
    assert found.entries["lamp"] == len(catalogue.lamp) - len(SPECTRA)
    assert 0 < found.judged < found.constants
    assert re.match(
        r"\d+ of \d+ timbers, tones, topcoats and backings are indicative, the colours of \d+ timbers come "
        r"from memory, and \d+ of \d+ optical",
        found.sentence,
    )


def test_no_word_in_the_catalogue_claims_anything_about_sound(catalogue: Catalogue) -> None:
    folder = Path(__file__).parent.parent / "finishes"
    for file in [*folder.rglob("*.toml"), *folder.rglob("*.py"), *folder.rglob("*.md")]:
        text = file.read_text(encoding="utf-8").lower()
        for word in ("acoustic", "sound-absor", "noise reduc", "echo"):
            assert word not in text, file.name


def test_every_kind_and_field_is_documented(catalogue: Catalogue) -> None:
    text = (Path(__file__).parent.parent / "finishes/catalogue/README.md").read_text(encoding="utf-8")
    sections = dict(re.findall(r"^### (\w+)\n(.*?)(?=^#|\Z)", text, flags=re.M | re.S))
    assert set(sections) == set(READERS)
    renamed = {"sd_lightness": "sd_L"}
    for kind, section in sections.items():
        entry = next(iter(catalogue.entries(kind).values()), None)
        names = (
            [field.name for field in fields(entry)] if entry else ["timber", "tone", "date", "uncertainty_de"]
        )
        if kind in ("optics", "practice"):
            names = ["name", "number" if kind == "optics" else "range", "words"]
        for name in set(names) - {"spread"}:
            assert f"`{renamed.get(name, name)}`" in section, f"{kind}: {name}"
    for tag in TAGS:
        assert f"`{tag}`" in text


@pytest.mark.parametrize(
    ("kind", "typed", "name"),
    [
        ("stain", "Lite Oak", "light oak"),
        ("timber", "scots pine", "Scots pine"),
        ("timber", "zzz", None),
        ("lamp", "led-b3", "LED-B3"),
        ("fabric", "", None),
    ],
)
def test_nearest_always_offers_a_name(catalogue: Catalogue, kind: str, typed: str, name: str | None) -> None:
    found = catalogue.nearest(kind, typed)
    assert found in catalogue.entries(kind)
    if name is not None:
        assert found == name


# ---------------------------------------------------------------- wrong files

GOOD_LAB = (
    'lab = { L = 70, a = 10, b = 25, illuminant = "D65", observer_deg = 10, conditions = "stated", '
    'source = "own reading", tag = "measured" }'
)
GOOD_TIMBER = f"""
[[timber]]
name = "Larch"
kind = "softwood"
figure = "softwood"
{GOOD_LAB}
uptake = {{ value = 1, source = "own reading", tag = "measured" }}
ageing = "Turns redder."
"""
GOOD_STAIN = """
[[stain]]
name = "mine"
loads = { umber = 1 }
source = "own trial"
tag = "measured"
drying = { recoat_h = 1, handle_h = 1, touch_fabric_h = 1, source = "the tin", tag = "practice" }
"""


def refused(folder: Path, text: str) -> tuple[str, ...]:
    (folder / "own.toml").write_text(text, encoding="utf-8")
    with pytest.raises(CatalogueError) as error:
        load([folder])
    return error.value.problems


def test_a_timber_of_ones_own_joins_the_others(tmp_path: Path) -> None:
    (tmp_path / "own.toml").write_text(GOOD_TIMBER, encoding="utf-8")
    assert list(load([tmp_path]).timber)[-1] == "Larch"


def test_an_entry_of_the_same_name_replaces_the_projects(tmp_path: Path) -> None:
    (tmp_path / "own.toml").write_text(GOOD_TIMBER.replace("Larch", "Scots pine"), encoding="utf-8")
    found = load([tmp_path]).timber
    assert found["Scots pine"].ageing == "Turns redder."
    assert list(found) == list(load().timber)


SPECTRUM = "reflectance = {{ values = [{values}], source = 'own reading', tag = 'measured' }}"


def with_spectrum(values: Sequence[float | str]) -> str:
    line = SPECTRUM.format(values=", ".join(map(str, values)))
    return re.sub(r"lab = .*", line, GOOD_TIMBER)


def test_a_measured_spectrum_makes_a_measured_timber(tmp_path: Path) -> None:
    (tmp_path / "own.toml").write_text(with_spectrum([0.2 + 0.01 * n for n in range(41)]), encoding="utf-8")
    assert load([tmp_path]).timber["Larch"].state == "Measured"


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        (
            GOOD_TIMBER.replace('illuminant = "D65", ', ""),
            "own.toml: timber 'Larch': lab.illuminant: is missing; use one of A, D50, D65",
        ),
        (
            GOOD_TIMBER.replace("observer_deg = 10, ", ""),
            "own.toml: timber 'Larch': lab.observer_deg: is missing; use one of 2, 10",
        ),
        (
            GOOD_TIMBER.replace(
                'uptake = { value = 1, source = "own reading", tag = "measured" }', "uptake = 1"
            ),
            "own.toml: timber 'Larch': uptake: is 1; a table with its own source and tag is needed",
        ),
        (
            GOOD_TIMBER.replace('value = 1, source = "own reading"', "value = 1"),
            "own.toml: timber 'Larch': uptake.source: is missing; say where the number comes from",
        ),
        (
            GOOD_TIMBER.replace('value = 1, source = "own reading"', 'value = 1, source = "reading"'),
            "own.toml: timber 'Larch': uptake.source: 'reading' is not in the file's [sources]",
        ),
        (
            GOOD_TIMBER.replace('tag = "measured" }\nageing', 'tag = "guess" }\nageing'),
            "own.toml: timber 'Larch': uptake.tag: is 'guess'; use one of published, computed, measured, "
            "practice, judgement",
        ),
        (
            GOOD_TIMBER.replace("value = 1,", "value = -1,"),
            "own.toml: timber 'Larch': uptake.value: is -1; a number from 0.1 to 5 is needed",
        ),
        (
            GOOD_TIMBER.replace("value = 1,", "value = nan,"),
            "uptake.value: is nan; a number from 0.1 to 5 is needed",
        ),
        (
            GOOD_TIMBER.replace("L = 70, a = 10, b = 25", "L = 95, a = 60, b = -60"),
            "own.toml: timber 'Larch': lab: no smooth reflectance has the CIELAB 95, 60, -60 under D65/10°",
        ),
        (GOOD_TIMBER.replace("ageing", "agein"), "own.toml: timber 'Larch': ageing: is missing"),
        (
            GOOD_TIMBER + 'colour = "brown"\n',
            "own.toml: timber 'Larch': colour: is not known",
        ),
        (
            GOOD_TIMBER + 'word = "brown"\n',
            "own.toml: timber 'Larch': word: is not known; did you mean 'words'?",
        ),
        (
            GOOD_TIMBER.replace('figure = "softwood"', 'figure = "softwod"'),
            "timber 'Larch': figure: 'softwod' is not in the catalogue; did you mean 'softwood'?",
        ),
        (
            GOOD_TIMBER.replace("[[timber]]", "[[timbr]]"),
            "own.toml: [[timbr]] is not a kind of entry; did you mean 'timber'?",
        ),
        (
            GOOD_TIMBER.replace("[[timber]]", "[timber]"),
            "own.toml: write each timber as a block of its own, [[timber]]",
        ),
        (
            GOOD_TIMBER + GOOD_TIMBER,
            "own.toml: timber 'Larch': name: stands already in own.toml; give it a name of its own",
        ),
        ("[[timber", "own.toml: cannot be read as TOML:"),
        (
            with_spectrum([0.5] * 40),
            "reflectance.values: has 40 values; 41 are needed (380 to 780 nm every 10)",
        ),
        (
            with_spectrum([0.5] * 20 + [1.2] + [0.5] * 20),
            "reflectance.values: the value at 580 nm is 1.2; it must lie from 0 to 1",
        ),
        (
            with_spectrum([0.5] * 20 + ["nan"] + [0.5] * 20),
            "reflectance.values: the value at 580 nm is nan; a number from 0 to 1 is needed (no gaps)",
        ),
        (
            with_spectrum([0.5] * 41) + "lab = { L = 50 }\n",
            "own.toml: timber 'Larch': lab: give either lab or reflectance, and only one of them",
        ),
        (
            GOOD_STAIN.replace("umber", "umbr"),
            "stain 'mine': loads: 'umbr' is not in the catalogue; did you mean 'umber'?",
        ),
        (
            GOOD_STAIN
            + 'planed_m2_per_l = { low = 0, likely = 0, high = 8, source = "the tin", tag = "practice" }',
            "own.toml: stain 'mine': planed_m2_per_l.likely: is 0; a number from 0.1 to 100 is needed",
        ),
        (
            GOOD_STAIN.replace("recoat_h = 1", "recoat_h = -1"),
            "own.toml: stain 'mine': drying.recoat_h: is -1; a number from 0 to 2000 is needed",
        ),
        (
            '[[lamp]]\nname = "mine"\nspectrum = "LED-B9"\nsource = "the box it came in"\ntag = "practice"\n',
            "lamp 'mine': spectrum: 'LED-B9' is not in the catalogue; did you mean 'LED-B",
        ),
        (
            '[[lamp]]\nname = "mine"\ncsv = "none.csv"\nsource = "own reading"\ntag = "measured"\n',
            "own.toml: lamp 'mine': csv: none.csv cannot be read",
        ),
        (
            '[[practice]]\nname = "fabric wrap"\n'
            'range = { low = 80, likely = 60, high = 90, source = "own way", tag = "practice" }\n',
            "own.toml: practice 'fabric wrap': range: low 80, likely 60, high 90 do not rise",
        ),
    ],
)
def test_a_wrong_entry_is_told_file_entry_and_field(tmp_path: Path, text: str, problem: str) -> None:
    problems = refused(tmp_path, text)
    assert any(problem in line for line in problems), problems


def test_all_problems_are_told_at_once(tmp_path: Path) -> None:
    text = GOOD_TIMBER.replace("value = 1,", "value = 9,").replace('kind = "softwood"', 'kind = "wood"')
    problems = refused(tmp_path, text)
    assert len(problems) == 2


def test_names_that_point_nowhere_are_told_with_everything_else(tmp_path: Path) -> None:
    text = GOOD_TIMBER.replace('figure = "', 'figure = "no such ').replace("value = 1,", "value = 9,")
    problems = refused(tmp_path, text)
    assert len(problems) == 2
    assert any("figure: 'no such" in line for line in problems)


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(CatalogueError, match="nowhere: is not a folder"):
        load([tmp_path / "nowhere"])


def test_a_lamp_measured_with_a_spectrometer_joins_the_others(tmp_path: Path) -> None:
    (tmp_path / "desk.csv").write_text("nm,power\n" + "\n".join(f"{nm},1" for nm in range(380, 785, 5)))
    (tmp_path / "own.toml").write_text(
        '[[lamp]]\nname = "desk lamp"\ncsv = "desk.csv"\nsource = "own reading"\ntag = "measured"\n'
    )
    found = load([tmp_path])
    assert found.lamp["desk lamp"].state == "Measured"
    # equal energy: x = y = 1/3 (CIE 15)
    white = found.light("desk lamp").white_xyz
    assert white / white.sum() == pytest.approx([1 / 3] * 3, abs=3e-4)


def test_a_dimmed_filament_grows_warmer_and_an_led_does_not(catalogue: Catalogue) -> None:
    full, low = (catalogue.light("filament lamp", dimmed_to=share).white_xyz for share in (1.0, 0.2))
    assert low[2] < full[2]
    led = [catalogue.light("2700 K LED, CRI 80", dimmed_to=share).white_xyz for share in (1.0, 0.2)]
    assert (led[0] == led[1]).all()
    for share in (0.0, 1.5, -1.0):
        with pytest.raises(ValueError, match="dimmed to"):
            catalogue.light("filament lamp", dimmed_to=share)


def test_choices_are_the_kinds_a_job_names() -> None:
    assert CHOICES == ("timber", "stain", "topcoat", "fabric", "lamp")
