"""The words in which a file is refused."""

from shop.file_errors import FileError, FileErrors


def test_an_error_says_where_and_what() -> None:
    assert str(FileError(3, "quantity", "Too many.")) == "line 3, quantity: Too many."
    assert str(FileError(None, "supplier", "Unknown.")) == "supplier: Unknown."
    assert str(FileError(None, "", "Nothing in it.")) == "Nothing in it."


def test_all_errors_are_told_at_once() -> None:
    errors = FileErrors([FileError(2, "a", "One."), FileError(3, "b", "Two.")])
    assert str(errors) == "line 2, a: One.\nline 3, b: Two."
