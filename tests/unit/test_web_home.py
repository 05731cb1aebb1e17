"""Today in the app, and the way there from an empty workspace."""

from __future__ import annotations

from pathlib import Path

from app_client import visitor

from partway.ledger.fold.standing import settings


def test_a_new_workspace_is_led_step_by_step(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        page = v.open("/")
        assert "Load the demo" in page and "<h1>Where do you scrap?</h1>" in page
        steps = [page.index(f">{name}<") for name in ("Say which currency you are paid in", "Record the first find")]
        assert steps == sorted(steps)
        v.fill("/settings", "/settings", currency="cad", unit="lb")
        page = v.open("/")
        assert "<h1>What stands in front of you?</h1>" in page
        assert "Load the demo" not in page  # something was recorded: the demo is never mixed in
        v.fill("/curb/microwave", "/curb/microwave/taken")
        page = v.open("/")
        assert page.count('class="done"') == 3 and "<h1>Who takes your metal?</h1>" in page


def test_the_demo_goes_only_into_an_empty_workspace(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        form = v.form(v.open("/"), "/demo")
        v.fill("/settings", "/settings", currency="CAD")
        before = v.count()
        answer = v.send(form)
        assert answer.status_code == 422 and "never mixed with real days" in answer.text
        assert v.count() == before


def test_the_demo_is_marked_on_every_page_and_loaded_once(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        form = v.form(v.open("/"), "/demo")
        answer = v.send(form)
        assert answer.status_code == 200 and 'class="acts"' in answer.text
        count = v.count()
        assert count > 100
        assert "Nothing was saved twice" in v.send(form).text and v.count() == count
        for path in ("/", "/curb", "/curb/microwave", "/settings"):
            assert "demo: months at the harbour" in v.open(path)


def test_today_shows_what_can_hurt_before_any_money(tmp_path: Path) -> None:
    with visitor(tmp_path, demo=True) as v:
        page = v.open("/")
        main = page[page.index("<main") :]
        assert main.index('class="caution"') < main.index("CA$") if "CA$" in main else main.index("$")
        for title in ("Next", "Under way", "The last 4 weeks"):
            assert title in main
        stands = v.open("/books/overview")
        assert stands.index('class="caution"') < stands.index("$")
        for title in ("Waiting at the bench", "All of it so far"):
            assert title in stands


# --- settings ------------------------------------------------------------------------------------


def test_several_settings_are_saved_together(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        answer = v.fill("/settings", "/settings", currency="cad", unit="lb", wage="15", payload="900 lb")
        assert answer.status_code == 200 and "Wage is 15 now" in answer.text
        known = settings(v.book)
        assert known == {"currency": "CAD", "unit": "lb", "wage": "15", "payload": "900 lb"}
        v.send(v.form(answer.text, "/undo"))
        assert settings(v.book) == {}


def test_one_wrong_field_saves_none_and_each_is_told(tmp_path: Path) -> None:
    hostile = '"><script>alert(1)</script>\u202e\U0001f4a5'
    with visitor(tmp_path) as v:
        answer = v.fill("/settings", "/settings", currency="CAD", wage="lots", home=hostile, trips="99")
        assert answer.status_code == 422 and v.count() == 0
        assert answer.text.count('class="error"') == 3
        assert "<script>alert" not in answer.text
        form = dict(v.form(answer.text, "/settings").values)
        assert (form["currency"], form["wage"], form["home"], form["trips"]) == ("CAD", "lots", hostile, "99")


def test_nothing_changed_and_nothing_emptied(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        assert "nothing changed" in v.fill("/settings", "/settings").text
        v.fill("/settings", "/settings", wage="15")
        answer = v.fill("/settings", "/settings", wage="")
        assert answer.status_code == 422 and "not emptied" in answer.text
        assert settings(v.book) == {"wage": "15"}


def test_an_old_page_takes_back_nothing_it_did_not_change(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        v.fill("/settings", "/settings", wage="15", bench="6")
        old = v.form(v.open("/settings"), "/settings")
        v.fill("/settings", "/settings", wage="18")
        answer = v.send(old, bench="8")
        assert answer.status_code == 200 and settings(v.book) == {"wage": "18", "bench": "8"}
        other = v.form(v.open("/settings"), "/settings")
        v.fill("/settings", "/settings", wage="20")
        answer = v.send(other, wage="19")
        assert answer.status_code == 422 and "meanwhile" in answer.text and settings(v.book)["wage"] == "20"


def test_the_currency_stays_once_money_is_recorded(tmp_path: Path) -> None:
    with visitor(tmp_path, demo=True) as v:
        answer = v.fill("/settings", "/settings", currency="EUR", wage="16")
        assert answer.status_code == 422 and "a new workspace for another currency" in answer.text
        assert settings(v.book)["currency"] == "CAD" and settings(v.book)["wage"] == "15"


def test_more_than_a_form_may_hold_is_refused(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        for size, status in ((300, 422), (10_000_000, 413)):
            answer = v.fill("/settings", "/settings", name="x" * size)
            assert answer.status_code in (status, 400, 422) and v.count() == 0
