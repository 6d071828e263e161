"""farglide check DIR, as a person runs it: a whole pack, an edited one, a damaged one."""

from collections.abc import Callable
from pathlib import Path

from farglide.cli.plan import DEMO

Said = Callable[..., tuple[int, str, str]]


def test_every_part_of_a_pack_is_told(said: Said, tmp_path: Path) -> None:
    pack = tmp_path / "pack"
    assert said("gather", DEMO, "--pack", pack)[0] == 0
    code, out, err = said("check", pack)
    assert (code, err) == (0, "")
    for name in ("flight.toml", "winds.json", "amber-evening-ground.tif"):
        assert f"  {name}: as gathered" in out.splitlines()
    assert f"farglide check {pack / 'flight.toml'}" in out


def test_an_edited_flight_file_is_told_by_every_command(said: Said, tmp_path: Path) -> None:
    pack = tmp_path / "pack"
    assert said("gather", DEMO, "--pack", pack)[0] == 0
    text = (pack / "flight.toml").read_text(encoding="utf-8")
    (pack / "flight.toml").write_text(text + "\n# later\n", encoding="utf-8")
    told = "The flight file in the pack was edited after it was gathered"
    for words in (
        ("check", pack),
        ("links", "--pack", pack),
        ("fields", "--pack", pack),
        ("plan", "--pack", pack, "--draws", "60"),
        ("plan", pack / "flight.toml", "--pack", pack, "--draws", "60", "--json"),
        (
            "coverage", "--pack", pack, "--link", "picture", "--stand", "Stile Gap",
            "--height-km", "20",
        ),
    ):  # fmt: skip
        code, out, err = said(*words)
        assert code == 0, err
        assert told in " ".join(out.split())


def test_a_file_outside_the_pack_is_told_by_every_command(said: Said, tmp_path: Path) -> None:
    pack = tmp_path / "pack"
    assert said("gather", DEMO, "--pack", pack)[0] == 0
    far = tmp_path / "far.tif"
    far.write_bytes((pack / "amber-evening-ground.tif").read_bytes())
    text = (pack / "flight.toml").read_text(encoding="utf-8")
    assert 'files = ["amber-evening-ground.tif"]' in text
    edited = text.replace('files = ["amber-evening-ground.tif"]', f'files = ["{far}"]')
    (pack / "flight.toml").write_text(edited, encoding="utf-8")
    for words in (
        ("check", pack),
        ("links", "--pack", pack),
        ("plan", "--pack", pack, "--draws", "60"),
        ("plan", "--pack", pack, "--draws", "60", "--json"),
    ):
        code, out, err = said(*words)
        assert code == 0, err
        told = " ".join(out.split())
        assert "Not in the pack: " in told, words
        assert "far.tif, which its edited flight file names under [terrain] files" in told
        assert "The pack is not whole" in told
        assert "gather it anew: farglide gather FILE --pack" in told
    (pack / "flight.toml").write_text(text + "\n# later\n", encoding="utf-8")
    assert "Not in the pack" not in said("check", pack)[1]
    (pack / "flight.toml").write_text("half", encoding="utf-8")
    assert "edited after it was gathered" in " ".join(said("check", pack)[1].split())


def test_a_damaged_pack_names_all_that_is_wrong(said: Said, tmp_path: Path) -> None:
    pack = tmp_path / "pack"
    assert said("gather", DEMO, "--pack", pack)[0] == 0
    (pack / "winds.json").unlink()
    with (pack / "amber-evening-ground.tif").open("r+b") as file:
        file.seek(1000)
        file.write(b"\x17")
    code, out, err = said("check", pack)
    assert (code, out) == (2, "")
    assert "winds.json is missing" in err
    assert "amber-evening-ground.tif is changed since it was gathered" in err
    code, out, err = said("check", tmp_path)
    assert (code, out) == (2, "")
    assert "holds no pack. Make one with: farglide gather" in err
