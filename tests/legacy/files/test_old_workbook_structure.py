"""What an XLS workbook says beside its values."""

import base64
import sys
import zlib
from types import SimpleNamespace

import pytest

from bodycond.legacy import read_sheets
from bodycond.legacy.files.old_workbook_structure import read_old_structures, read_sheet

# A workbook of five rows, packed. No library that is kept up writes this kind. In it A2 is 12345
# in the format 0000000, B2 has a yellow ground, of C2 'thin' is struck through, A3 is struck
# through, B3 is red, row 4 and column C are hidden, A5:B5 is merged.
PACKED = (
    "c-rk)O-NKx6#nj;H@}X~XilKfFbG+i3x77X&?%u@Y38PgphoABgZ7M3h=R(pSqf3BqK#mS2&^{!&=0n25g4@yf=G"
    "*6)G8=wp}x*N?@o==2o98#yl;5to_o$cKkxp}dp=V>J8`>u4tZ#U3yYQ?o*bE=$Dgf)L3+!QY_{~#V>$S*;P=r$d"
    "fa$W`phfGP>%N;G~Cjk5Cz`Ra}dYSHDnsGRYW`IkPtG5R-yt|Nm7O?&Z>fGAJcVAZ*t3rOn0zkoM|hyofQW#6Yr|"
    "ure^Vet%h}Fkbdv7&1;r4A%drJ7N5Bw?6z*~Os5iqYfIrPS^)%*r-<r7OoAp&hhZ9NyM9g98*R*@l4jE+zF9HgYj"
    ")e1jydwxl?#yk`%<}g8M%)}u#nuJ-(DYQdC4+<f(7K4G#wa)b(mLkhT6Q<*%g`_o3_tm51%c5mY^qP9-*Q$F+5B~"
    "*U*UJhfkm{F?cjK(w{QjG#_cfwl|aZxRDr;d<*Se{i$TqFkOIQCIiwPZ*Sox+gm9w`ykOILd=)*;t$j7&tL!YqO-"
    "R<euyQbe5A=aFR)3b4-03dMer2cYq(ev;$sn78MkyZrTD044_ld@<0u=LuVz|FEvc;SjwojL7`Hjk+FFX+!gv|qo"
    "WpM+KJ$6+y=dlrypH&(j=7VSQ?KF^sG*Kaa-ITXXb=tJ%4LcB@oXv7rul|x)o&Z9PYbKuEp^(5uz&!w<xK6G>@D%"
    "Lrm4P@)*{dP5k(ZdS$~|CQ9fzXTG|P=b16HmKvcVrWRIWL0^BnZ+^7>uC#~Je+LdD+Q`Rod*~8<#k!nIklh+eFj2"
    "BUXDCzCy(xF#5)cLiRrlYe%IT;=k)m0~a;8)REE6}D@;Ev3j&Yxchz<~n?4jede;Naha;M<OUW!2RM*25Ph`@7Bp"
    "J&Vp~k~NDS4AF0d{;TbRNo5)*ikd&`;TBn6Vud!@?}ZZkD0&(L=;b^Hik`ppr$*$y&x#Ghe{KmC8-KBwJpXe19}c"
    "et-T"
)


@pytest.fixture
def content():
    return zlib.decompress(base64.b85decode(PACKED))


@pytest.fixture
def sheet(tmp_path, content):
    pytest.importorskip("xlrd")
    path = tmp_path / "old.xls"
    path.write_bytes(content)
    (found,) = read_sheets(path)
    return found


def test_values_stay_those_of_the_fast_reader(sheet):
    assert sheet.texts[1:3].tolist() == [["12345", "186", "calm thin"], ["B2", "190.5", "weak"]]
    assert sheet.merged == ((4, 0, 4, 1),)


def test_struck_hidden_and_coloured_cells_are_kept(sheet):
    assert sheet.struck == {(2, 0)}
    assert sheet.partly_struck == {(1, 2): "calm "}
    assert (sheet.hidden_rows, sheet.hidden_columns) == ({3}, {2})
    assert {name: places.tolist() for name, places in sheet.fills.items()} == {"#FFFF00": [[1, 1]]}
    assert {name: places.tolist() for name, places in sheet.inks.items()} == {"#FF0000": [[2, 1]]}
    assert sheet.shown == {(1, 0): "0012345"}


def test_comments_and_errors_are_taken_from_the_reader():
    made = SimpleNamespace(
        cell_note_map={(0, 1): SimpleNamespace(text=" weighed twice ")},
        rowinfo_map={}, colinfo_map={}, nrows=1, rich_text_runlist_map={},
        row_types=lambda _: [1, 5], cell_value=lambda *_: 42,
    )  # fmt: skip
    found = read_sheet(None, made, {}, {42: "#N/A"})
    assert found.comments == {(0, 1): "weighed twice"}
    assert found.errors == {(0, 1): "#N/A"}


def test_what_cannot_be_looked_at_is_said(tmp_path, content, monkeypatch):
    monkeypatch.setitem(sys.modules, "xlrd", None)
    path = tmp_path / "other.xls"
    path.write_bytes(content)
    (found,) = read_sheets(path)
    assert found.notes == (
        "comments, hidden rows and columns, struck-through and coloured cells of this kind of "
        "workbook are not looked at; saved as XLSX they are",
    )


def test_workbook_that_the_reader_cannot_follow_gives_none(content):
    pytest.importorskip("xlrd")
    assert read_old_structures(content[:3000]) is None
