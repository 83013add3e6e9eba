"""A file of hand tallies: its rows, or every fault of it with its line."""

from __future__ import annotations

import csv
import io
from datetime import UTC, datetime

import pytest

from weighstation.errors import SpecificationError
from weighstation.specification import Catalogue, Limits, Product
from weighstation.station.commands.journals.tally_file import Tally, TallyRow, read_tally

SHOP = Catalogue(
    "EUR",
    (
        Product("Tin loaf", Limits(920_000, 5000, 10_000)),
        Product("Sesame roll", Limits(70_000, 2000, 2000)),
    ),
)
NOW = datetime(2026, 11, 30, 12, 0, tzinfo=UTC)
AT = "2026-11-02T05:10:00+01:00"


def tally(text: str | bytes) -> Tally:
    data = text if isinstance(text, bytes) else text.encode()
    return read_tally(data, SHOP, now=NOW, source="week.csv")


def rows(text: str | bytes) -> tuple[TallyRow, ...]:
    return tally(text).rows


def faults(text: str | bytes) -> tuple[str, ...]:
    with pytest.raises(SpecificationError) as refused:
        tally(text)
    return refused.value.faults


def test_a_row_holds_what_was_written() -> None:
    (row,) = rows(
        "time,product,grams,batch,first_grams,touches,person,dough_age_min\n"
        f"{AT},Tin loaf,921.5,B 7,930,1,ab,2.5\n"
    )

    assert (
        TallyRow(
            line=2,
            at_utc_ms=round(datetime.fromisoformat(AT).timestamp() * 1000),
            offset_min=60,
            product=SHOP.products[0],
            final_mg=921_500,
            batch="B 7",
            first_mg=930_000,
            touches=1,
            person="AB",
            dough_age_ms=150_000,
        )
        == row
    )


def test_what_is_not_written_is_not_known() -> None:
    (row,) = rows(f"time,product,grams,first_grams,touches,person\n{AT},Tin loaf,921,,,\n")

    assert (None, None, "", "", None) == (
        row.first_mg,
        row.touches,
        row.person,
        row.batch,
        row.dough_age_ms,
    )


@pytest.mark.parametrize(
    "text",
    [
        f"time,product,grams\n{AT},Tin loaf,921.5\n",
        f'time,product,grams\n{AT},Tin loaf,"921,5"\n',
        f"time;product;grams\n{AT};Tin loaf;921,5\n",
        f"time;product;grams\n{AT};Tin loaf;921.5",
        f"\n Time ; PRODUCT ; Grams \r\n\r\n {AT} ; tin LOAF ; 921,50 \r\n;;\r\n",
        f"\ufefftime,product,grams\n{AT},Tin loaf,921.5\n",
        f"grams,time,product\n921.5,{AT},Tin loaf\n",
    ],
)
def test_commas_points_orders_and_marks_of_any_desk_say_the_same(text: str) -> None:
    (row,) = rows(text)

    assert (921_500, "Tin loaf", AT) == (row.final_mg, row.product.name, row.at.isoformat())


@pytest.mark.parametrize("separator", [",", ";"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_what_a_csv_writer_writes_is_read_back(separator: str, end: str) -> None:
    """Held against the writer of Python's csv module, with quotes as in RFC 4180, section 2."""
    stream = io.StringIO()
    out = csv.writer(stream, delimiter=separator, lineterminator=end)
    out.writerow(["time", "product", "grams", "batch"])
    named = [f'B{separator} "{number}"' for number in range(3)]
    out.writerows([[AT, "Tin loaf", "921,5", name] for name in named])
    found = rows(stream.getvalue())

    assert [(921_500, name) for name in named] == [(row.final_mg, row.batch) for row in found]


@pytest.mark.parametrize(
    ("written", "same"),
    [
        # RFC 3339, section 5.8: "this represents the same instant".
        ("1996-12-19T16:39:57-08:00", "1996-12-20T00:39:57Z"),
        ("1990-12-31T23:59:59Z", "1990-12-31T15:59:59-08:00"),
    ],
)
def test_an_instant_is_the_same_by_any_clock(written: str, same: str) -> None:
    (one,) = rows(f"time,product,grams\n{written},Tin loaf,921\n")
    (other,) = rows(f"time,product,grams\n{same},Tin loaf,921\n")

    assert one.at_utc_ms == other.at_utc_ms


def test_the_day_is_that_of_the_clock_on_the_wall() -> None:
    (row,) = rows("time,product,grams\n2026-11-02T00:30:00+01:00,Tin loaf,921\n")

    assert ("2026-11-02", 60) == (row.day, row.offset_min)


@pytest.mark.parametrize(
    ("cells", "said"),
    [
        (f"{AT};Tin laof;921;;", "(did you mean 'Tin loaf'?)"),
        (";Tin loaf;921;;", "time is empty"),
        ("2026-11-02T05:10:00;Tin loaf;921;;", "has no offset from UTC"),
        ("2.11.2026 5:10;Tin loaf;921;;", "is no time: write it like 2026-"),
        ("1889-11-02T05:10:00Z;Tin loaf;921;;", "lies before the year 1990"),
        ("2026-12-01T05:10:00Z;Tin loaf;921;;", "lies in the future"),
        (f"{AT};;921;;", "product is empty"),
        (f"{AT};Tin loaf;;;", "grams is empty"),
        (f"{AT};Tin loaf;921 g;;", "'921 g' is no number"),
        (f"{AT};Tin loaf;1.234,5;;", "'1.234,5' is no number"),
        (f"{AT};Tin loaf;-921;;", "'-921' is no number"),
        (f"{AT};Tin loaf;0,921;;", "these look like kilograms, so write grams"),
        (f"{AT};Tin loaf;91,9;;", "below a tenth of the scaling weight of 920 g"),
        (f"{AT};Tin loaf;9200,1;;", "above ten times the scaling weight of 920 g"),
        (f"{AT};Tin loaf;921;0,93;", "first_grams '0,93' lies below a tenth"),
        (f"{AT};Tin loaf;921;;Anna Krume", "'Anna Krume' is not one to four letters"),
        (f"{AT};Tin loaf", "there are 2 cells where the header has 5 columns: write all"),
        (f"{AT};Tin loaf;921;;;;", "there are 7 cells where the header has 5 columns"),
    ],
)
def test_a_bad_line_7_is_told_in_one_sentence(cells: str, said: str) -> None:
    good = f"{AT};Tin loaf;921;;\n" * 5
    (fault,) = faults(f"time;product;grams;first_grams;person\n{good}{cells}\n{good}")

    assert fault.startswith("line 7: ")
    assert said in fault
    assert fault.endswith(".")


@pytest.mark.parametrize("grams", ["92", "9200"])
def test_a_tenth_and_ten_times_are_still_believed(grams: str) -> None:
    assert 1 == len(rows(f"time,product,grams\n{AT},Tin loaf,{grams}\n"))


HEADER = "time,product,grams,first_grams,touches"


def test_a_piece_that_nobody_touched_weighs_as_it_was_cut() -> None:
    fine = f"{AT},Tin loaf,921,921,0\n"
    (fault,) = faults(f"{HEADER}\n{fine}{fine}{AT},Tin loaf,921,921.5,0\n")

    assert (
        "line 4: touches is 0, and the piece went from 921.5 g to 921 g: write how often it was"
        " added to or trimmed, leave touches empty if nobody knows, or mend the weight."
    ) == fault


@pytest.mark.parametrize(
    "cells",
    [
        "921,930,",  # nobody counted
        "921,,0",  # nobody noted the first cut
        "921,921.0,0",
        "921,921.0004,0",  # the record is kept to the milligram
        "921,921,2",  # added to, and taken away again
        "921,930,1",
    ],
)
def test_what_can_be_true_together_is_taken(cells: str) -> None:
    assert 1 == len(rows(f"{HEADER}\n{AT},Tin loaf,{cells}\n"))


@pytest.mark.parametrize("cells", ["x,930,0", "921,x,0", "921,930,x"])
def test_a_cell_with_a_fault_is_told_once(cells: str) -> None:
    assert 1 == len(faults(f"{HEADER}\n{AT},Tin loaf,{cells}\n"))


@pytest.mark.parametrize(
    ("cell", "column"),
    [
        ("1.5", "touches"),
        ("-1", "touches"),
        ("1001", "touches"),
        ("long", "dough_age_min"),
        ("1441", "dough_age_min"),
        ("x" * 61, "batch"),
    ],
)
def test_a_column_that_may_be_empty_may_not_be_wrong(cell: str, column: str) -> None:
    (fault,) = faults(f"time,product,grams,{column}\n{AT},Tin loaf,921,{cell}\n")

    assert fault.startswith(f"line 2: {column} '")


def test_all_faults_are_told_at_once_in_the_order_of_their_lines() -> None:
    found = faults(
        "time,product,grams\n"
        f"{AT},Brot,921\n{AT},Brot,930\n{AT},Tin loaf,921\nlate,Tin loaf,x\n{AT},Brot,921\n"
    )

    assert [
        "lines 2 to 3: there is no product 'Brot' in",
        "line 5: time 'late' is no time: write it li",
        "line 5: grams 'x' is no number: write digit",
        "line 6: there is no product 'Brot' in produ",
    ] == [fault[:43] for fault in found]


def test_a_thousand_times_the_same_slip_is_told_once() -> None:
    assert (
        "lines 2 to 1001: the time lies in the future: mend the day, the hour or the offset.",
    ) == (faults("time,product,grams\n" + "2027-01-01T05:00:00Z,Tin loaf,921\n" * 1000))


def test_lines_are_numbered_as_in_the_file_even_where_a_cell_is_broken_over_two() -> None:
    (fault,) = faults(
        f'time,product,grams,batch\n\n{AT},Tin loaf,921,"B\n7"\n{AT},Tin loaf,921,B7\n'
    )

    assert fault.startswith("line 3: batch 'B?7'")


@pytest.mark.parametrize(
    ("header", "said"),
    [
        ("time,product,grams,Grams", "the header names 'grams' twice"),
        ("time,product", "the header lacks grams"),
        ("time;product;weight", "the header lacks grams"),
        ("time\tproduct\tgrams", "the header lacks time, product, grams"),
        ("time,product,grams,persom", "'persom' is not known (did you mean 'person'?)"),
    ],
)
def test_a_header_that_cannot_be_used_is_told(header: str, said: str) -> None:
    found = faults(f"{header}\n")

    assert any(said in fault and fault.startswith("line 1: ") for fault in found)


def test_quotes_that_are_not_closed_are_a_fault_of_the_line_they_begin_on() -> None:
    (fault,) = faults(f'time,product,grams\n{AT},Tin loaf,921\n{AT},"Tin loaf,921\n')

    assert fault.startswith("line 3: what stands in quotes")


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "week.csv is empty."),
        (b"\n \n", "week.csv is empty."),
        (b"time,product,grams\n", "holds no piece below its header"),
        (b"time,product,grams\n\n2026,B\xe4cker,1\n", "no text in UTF-8, as line 3 shows"),
        ("time,product,grams\n".encode("utf-16"), "no text in UTF-8, as line 1 shows"),
    ],
)
def test_a_file_that_is_no_tally_is_told_in_one_sentence(data: bytes, said: str) -> None:
    with pytest.raises(SpecificationError) as refused:
        tally(data)

    assert said in refused.value.sentence


def test_clocks_that_were_changed_are_minded_and_no_fault() -> None:
    found = tally(
        "time,product,grams\n"
        "2026-10-24T05:10:00+02:00,Tin loaf,921\n2026-10-26T05:10:00+01:00,Tin loaf,921\n"
    )

    (note,) = found.notes

    assert "The times have the offsets +02:00 and +01:00, as where clocks are changed" in note


def test_a_clock_of_another_country_is_a_fault() -> None:
    (fault,) = faults(
        "time,product,grams\n"
        "2026-10-24T05:10:00+02:00,Tin loaf,921\n2026-10-24T05:10:00-04:00,Tin loaf,921\n"
    )

    assert fault.startswith("line 3: the offset -04:00 is more than an hour from +02:00 on line 2")
