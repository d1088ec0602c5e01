"""Indented JSON is that of the standard library, to the last byte."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.outputs.json_text import json_text

leaves = st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | st.text()
values = st.recursive(leaves, lambda v: st.lists(v) | st.dictionaries(st.text(), v) | st.tuples(v, v), max_leaves=20)


@given(values)
def test_as_the_library_writes_it(value):
    assert json_text(value) == json.dumps(value, indent=2, ensure_ascii=False, allow_nan=False)


@pytest.mark.parametrize("value", [float("nan"), [float("inf")], {"a": {"b": [1.0, float("-inf")]}}])
def test_what_json_does_not_know_is_refused(value):
    with pytest.raises(ValueError, match="not JSON compliant"):
        json_text(value)


def test_keys_are_texts():
    with pytest.raises(TypeError, match="keys are texts"):
        json_text({1: [2]})
