"""Version 7 UUIDs against RFC 9562 and against another library."""

from __future__ import annotations

import datetime as dt
import itertools
import threading
import time
from uuid import RFC_4122, UUID, uuid4

import pytest
import uuid6

from partway.ledger.events.ids import LARGEST_MS, RANDOM_BITS, IdMaker, built, is_event_id, new_id, time_of

# RFC 9562, appendix A.6, table "UUIDv7 Example Test Vector" (from memory; the tests of several
# other libraries quote the same id): unix_ts_ms 0x017F22E279B0, rand_a 0xCC3, rand_b 0b01 and 0x8C4DC0C0C07398F,
# made on 22 February 2022, 14:22:22.00 at UTC-5.
VECTOR = UUID("017f22e2-79b0-7cc3-98c4-dc0c0c07398f")


def test_the_example_of_the_standard() -> None:
    assert built(0x017F22E279B0, 0xCC3 << 62 | 0b01 << 60 | 0x8C4DC0C0C07398F) == VECTOR
    assert time_of(VECTOR) == dt.datetime(2022, 2, 22, 14, 22, 22, tzinfo=dt.timezone(dt.timedelta(hours=-5)))


def test_version_and_variant_as_the_standard_library_reads_them() -> None:
    for _ in range(100):
        made = new_id()
        assert made.version == 7 and made.variant == RFC_4122 and is_event_id(made)


def test_another_library_reads_the_same_time_and_we_read_its_ids() -> None:
    ours = new_id()
    assert uuid6.UUID(int=ours.int).time == round(time_of(ours).timestamp() * 1000)
    assert abs(time_of(uuid6.uuid7()).timestamp() - time.time()) < 5


def test_ids_strictly_increase_in_one_millisecond() -> None:
    stuck = IdMaker(clock=lambda: 5)
    made = [stuck() for _ in range(10_000)]
    assert all(a < b for a, b in itertools.pairwise(made))
    assert [str(a) for a in made] == sorted(str(a) for a in made)  # as texts too


def test_ids_strictly_increase_without_any_randomness() -> None:
    stuck = IdMaker(clock=lambda: 5, bits=lambda _: 0)
    made = [stuck() for _ in range(5)]
    assert made == sorted(set(made))


def test_the_next_id_of_a_millisecond_is_as_many_steps_on_as_is_drawn() -> None:
    """RFC 9562, section 6.2, method 2: a random step above 0. Of 32 bits by our choice: 2^41 of them fit the 74."""
    asked: list[int] = []

    def nine(bits: int) -> int:
        asked.append(bits)
        return 9

    stuck = IdMaker(clock=lambda: 5, bits=nine)
    assert [stuck() for _ in range(3)] == [built(5, 9), built(5, 19), built(5, 29)]
    assert asked == [74, 74, 32, 74, 32]


def test_ids_strictly_increase_when_the_clock_is_set_back() -> None:
    clock = iter([1000, 5, 5, 1001])
    made = [next_id for maker in [IdMaker(clock=lambda: next(clock))] for next_id in (maker() for _ in range(4))]
    assert made == sorted(set(made))


def test_a_full_millisecond_runs_over_into_the_next() -> None:
    full = IdMaker(clock=lambda: 5, bits=lambda n: (1 << n) - 1)
    first, second = full(), full()
    assert first < second
    assert first.int >> 80 == 5 and second.int >> 80 == 6
    assert is_event_id(second)


def test_many_threads_never_make_one_id_twice() -> None:
    maker, made = IdMaker(clock=lambda: 5), []

    def work() -> None:
        mine = [maker() for _ in range(2000)]
        assert mine == sorted(set(mine))
        made.extend(mine)

    threads = [threading.Thread(target=work) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(set(made)) == 16_000


def test_an_id_after_another_whose_clock_was_ahead() -> None:
    ahead = built(LARGEST_MS - 10, 3)
    maker = IdMaker()
    assert maker(after=ahead) > ahead
    assert maker() > ahead


@pytest.mark.parametrize("bit", range(RANDOM_BITS))
def test_every_bit_of_another_id_counts_for_what_comes_after_it(bit: int) -> None:
    """The next number of all: RFC 9562, section 5.7, has 74 bits beside the time, around version and variant."""
    ahead = built(LARGEST_MS - 10, 1 << bit)
    after = IdMaker(clock=lambda: 5, bits=lambda _: 0)(after=ahead)
    assert after == built(LARGEST_MS - 10, (1 << bit) + 1) and after > ahead


def test_a_given_clock_and_bits_make_the_same_ids_again() -> None:
    assert [IdMaker(lambda: 7, lambda n: n)() for _ in range(2)] == [built(7, RANDOM_BITS)] * 2


def test_what_does_not_fit_is_refused() -> None:
    for ms, low in ((-1, 0), (LARGEST_MS + 1, 0), (0, -1), (0, 1 << RANDOM_BITS)):
        with pytest.raises(ValueError, match="no version 7 UUID"):
            built(ms, low)


def test_other_versions_have_no_time_here() -> None:
    for other in (uuid4(), UUID(int=0), UUID(int=2**128 - 1), uuid6.uuid6()):
        assert not is_event_id(UUID(int=other.int))
        with pytest.raises(ValueError, match="not a version 7 UUID"):
            time_of(other)


def test_the_first_id_of_all_may_be_the_least_there_is() -> None:
    assert IdMaker(clock=lambda: 0, bits=lambda _: 0)() == built(0, 0)


def test_an_id_of_another_version_or_variant_is_none_of_an_event() -> None:
    """RFC 9562, sections 4.1 and 4.2: versions 1 to 8 but the 7th, variants but 0b10."""
    good = built(1_773_480_600_000, 5)
    assert is_event_id(good)
    for version in (0, *range(1, 7), *range(8, 16)):
        assert not is_event_id(UUID(int=good.int & ~(0xF << 76) | version << 76))
    for variant in (0b00, 0b01, 0b11):
        assert not is_event_id(UUID(int=good.int & ~(0b11 << 62) | variant << 62))
