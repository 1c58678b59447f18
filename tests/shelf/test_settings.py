"""Settings: defaults, and sentences for what cannot be used."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.shelf.pieces import is_a_sentence
from watchlist.shelf.errors import SettingsError
from watchlist.shelf.settings import Settings, default_shelf, load, parse


def written(folder: Path, text: str) -> Path:
    path = folder / "settings.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_no_file_means_the_defaults(tmp_path: Path) -> None:
    assert load(tmp_path / "none.toml") == Settings()
    assert (Settings().home.currency, Settings().home.time_zone) == ("EUR", "Europe/Berlin")
    prices = Settings().prices
    assert (prices.kind, prices.bargain_at, prices.max_ratio) == ("", Decimal("0.8"), Decimal(4))


def test_all_keys_are_read(tmp_path: Path) -> None:
    read = load(
        written(
            tmp_path,
            """
plots = "words"
[home]
currency = "gbp"
time_zone = "Europe/London"
[prices]
kind = "hammer"
years = 3
bargain_at = 0.75
max_ratio = 3.5
[reading]
services = ["QCG"]
[bids]
budget = 900.50
[keys]
follow = "F"
""",
        )
    )
    assert (read.home.currency, read.home.zone.key, read.plots) == ("GBP", "Europe/London", "words")
    assert (read.prices.kind, read.prices.years, read.prices.bargain_at) == ("hammer", 3.0, Decimal("0.75"))
    assert (read.reading.services, read.bids.budget, dict(read.keys)) == (("QCG",), Decimal("900.50"), {"follow": "F"})
    assert read.notices == ()


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("[bids]\nbugdet = 5", "`bugdet` is not a setting (did you mean `budget`?)"),
        ("[bidz]\nbudget = 5", "`bidz` is not a setting (did you mean `bids`?)"),
        ("[home]\nbudget = 5", "did you mean `bids.budget`"),
        ("[home]\nqqqq = 5", "known are currency, time_zone"),
    ],
)
def test_an_unknown_key_is_named_with_the_nearest(tmp_path: Path, text: str, named: str) -> None:
    (notice,) = load(written(tmp_path, text)).notices
    assert named in notice
    assert "settings.toml" in notice


@pytest.mark.parametrize(
    ("text", "key", "allowed"),
    [
        ('[home]\ncurrency = "EURO"', "home.currency", "three letters"),
        ("[home]\ncurrency = 3", "home.currency", "three letters"),
        ('[home]\ncurrency = "XXX"', "home.currency", 'such as "EUR"'),
        ('[home]\ncurrency = "ZAK"', "home.currency", "three letters"),
        ('[home]\ncurrency = "GPB"', "home.currency", '"GBP" (did you mean it?)'),
        ('[home]\ncurrency = "€"', "home.currency", '"EUR" (did you mean it?)'),
        ('[home]\ntime_zone = "Berlin"', "home.time_zone", "IANA"),
        ('[home]\ntime_zone = "Europe"', "home.time_zone", "IANA"),
        ('[home]\ntime_zone = "../etc/passwd"', "home.time_zone", "IANA"),
        ('[home]\ntime_zone = ""', "home.time_zone", "IANA"),
        ('[prices]\nkind = "allin"', "prices.kind", '"all-in" or "hammer"'),
        ("[prices]\nbargain_at = 1.2", "prices.bargain_at", "up to 1"),
        ("[prices]\nbargain_at = 0", "prices.bargain_at", "above 0"),
        ("[prices]\nbargain_chance = 0", "prices.bargain_chance", "above 0 and below 1"),
        ("[prices]\nbargain_chance = 1.5", "prices.bargain_chance", "above 0 and below 1"),
        ("[prices]\nbargain_chance = nan", "prices.bargain_chance", "above 0 and below 1"),
        ("[prices]\nmax_ratio = nan", "prices.max_ratio", "above 1"),
        ("[prices]\nyears = true", "prices.years", "years"),
        ('[reading]\nservices = "QCG"', "reading.services", "list"),
        ("[reading]\nservices = [1]", "reading.services", "list"),
        ("[bids]\nbudget = -1", "bids.budget", "0 or more"),
        ('[bids]\nbudget = "1500"', "bids.budget", "0 or more"),
        ("[keys]\nfollow = 1", "keys.follow", "text"),
        ('plots = "none"', "plots", '"drawn" or "ascii" or "words"'),
        ("home = 3", "home", "[home]"),
        ('[home]\nshared = "yes"', "home.shared", "true or false"),
        ('[morning]\nevery = "3w"', "morning.every", '"1h" to "14d"'),
        ("[morning]\nevery = 1", "morning.every", '"1h" to "14d"'),
        ('[morning]\nevery = "15d"', "morning.every", '"1h" to "14d"'),
        ("[prices]\nown = 2", "prices.own", "true, false or a weight from 0 to 1"),
    ],
)
def test_a_wrong_value_names_file_key_and_what_is_allowed(tmp_path: Path, text: str, key: str, allowed: str) -> None:
    with pytest.raises(SettingsError) as caught:
        load(written(tmp_path, text))
    for part in ("settings.toml", key, allowed):
        assert part in str(caught.value)


@pytest.mark.parametrize("raw", [b"\xff\xfe", b"[home", b"a = [" * 100, b"\0"])
def test_a_file_that_is_no_toml_is_one_sentence(tmp_path: Path, raw: bytes) -> None:
    path = tmp_path / "settings.toml"
    path.write_bytes(raw)
    with pytest.raises(SettingsError, match="not TOML"):
        load(path)


def test_a_number_of_thousands_of_digits_is_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(SettingsError, match="a number that is too long to be one") as caught:
        load(written(tmp_path, "[prices]\nyears = " + "9" * 5_000))
    is_a_sentence(caught.value)


@pytest.mark.parametrize(("text", "hours"), [("12h", 12), (" 2 d ", 48), ("14d", 336)])
def test_how_often_one_gathers(tmp_path: Path, text: str, hours: int) -> None:
    assert load(written(tmp_path, f'[morning]\nevery = "{text}"')).morning.every == timedelta(hours=hours)


@pytest.mark.parametrize(("text", "weight"), [("true", 1.0), ("false", 0.0), ("0.25", 0.25)])
def test_what_own_purchases_weigh(tmp_path: Path, text: str, weight: float) -> None:
    assert load(written(tmp_path, f"[prices]\nown = {text}")).prices.own == weight


def test_a_currency_that_few_use_is_known_too(tmp_path: Path) -> None:
    assert load(written(tmp_path, '[home]\ncurrency = "kwd"')).home.currency == "KWD"


def test_a_file_that_cannot_be_read_is_one_sentence(tmp_path: Path) -> None:
    (tmp_path / "settings.toml").mkdir()
    with pytest.raises(SettingsError, match="cannot be read") as caught:
        load(tmp_path / "settings.toml")
    is_a_sentence(caught.value)


values = st.none() | st.booleans() | st.integers() | st.text(max_size=5) | st.decimals() | st.lists(st.text(max_size=3))
tables = st.dictionaries(st.sampled_from(["currency", "budget", "years", "services", "y"]), values)


@settings(max_examples=60, deadline=None)
@given(st.dictionaries(st.sampled_from(["home", "prices", "bids", "keys", "reading", "plots", "x"]), values | tables))
def test_anything_gives_settings_or_a_settings_error(data: dict[str, object]) -> None:
    try:
        assert parse(data).home.currency.isupper()
    except SettingsError as error:
        is_a_sentence(error, "settings.toml")


def test_the_environment_names_the_shelf(tmp_path: Path) -> None:
    assert default_shelf({"WATCHLIST_SHELF": str(tmp_path)}) == tmp_path
    assert default_shelf({}).name == "watchlist"
