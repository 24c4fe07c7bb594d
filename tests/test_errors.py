"""An error is told whole, in the reader's language; a mistake of the program is none of the family."""

import pickle

from sim.bugs import TableError
from sim.errors import DrycycleError, RecordError, ScenarioError
from sim.words.fields import name
from sim.words.message import plain, row
from sim.words.reader import PSEUDO

GONE = plain("test.error.gone", "the file is gone")
LOOK = row("test.error.look", "look for {file}", file=name())


def test_an_error_says_where_what_and_what_to_do():
    assert str(DrycycleError(GONE)) == "the file is gone"
    assert str(DrycycleError(GONE, "a.yaml:3:5")) == "a.yaml:3:5: the file is gone"
    assert str(DrycycleError(GONE, what_to_do=LOOK(file="b"))) == "the file is gone; look for b"
    whole = ScenarioError(GONE, "a.yaml", LOOK(file="b"))
    assert str(whole) == "a.yaml: the file is gone; look for b"


def test_an_error_is_told_in_the_readers_language_and_names_stay():
    whole = ScenarioError(GONE, "a.yaml", LOOK(file="b"))
    assert whole.tell(PSEUDO) == "«a.yaml»: [the] [file] [is] [gone]; [look] [for] «b»"


def test_an_error_survives_the_way_to_another_process():
    whole = RecordError(GONE, "a.yaml", LOOK(file="b"))
    there = pickle.loads(pickle.dumps(whole))
    assert type(there) is RecordError
    assert there.message == whole.message


def test_a_bug_is_no_error_that_a_reader_could_put_right():
    bug = TableError("two rows for SHUT", "door")
    assert not isinstance(bug, DrycycleError)
    assert str(bug) == "door: two rows for SHUT"
