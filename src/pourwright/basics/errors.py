"""The one tree of errors: what is wrong with which value, and what to try."""

from __future__ import annotations

from collections.abc import Sequence


class PourwrightError(Exception):
    """Something went wrong; `advice` says what to try.

    Parameters
    ----------
    message : what is wrong, with the value.
    advice : what the person can do about it.
    file, line, field, value : where it was found, as far as known.

    Examples
    --------
    >>> str(PourwrightError("the bore (30 mm) is wider than the part (28 mm)", advice="make it smaller"))
    'the bore (30 mm) is wider than the part (28 mm)'
    """

    exit_code = 4

    def __init__(
        self,
        message: str,
        *,
        advice: str = "",
        file: str | None = None,
        line: int | None = None,
        field: str | None = None,
        value: str | None = None,
    ) -> None:
        super().__init__(message)
        self.message = message
        self.advice = advice
        self.file = file
        self.line = line
        self.field = field
        self.value = value

    def __reduce__(self) -> tuple[object, ...]:
        # Keyword-only arguments do not survive the default pickling, and errors cross process borders.
        return (_rebuild, (type(self), self.message, self.where()))

    def where(self) -> dict[str, object]:
        """Everything but the message, as keywords."""
        return {
            "advice": self.advice,
            "file": self.file,
            "line": self.line,
            "field": self.field,
            "value": self.value,
        }

    def as_answer(self) -> dict[str, object]:
        """The error as the object that `--json` prints under "error"."""
        return {"message": self.message, **self.where()}

    def sentence(self) -> str:
        """One line for a person: place, message and advice."""
        place = ":".join(str(part) for part in (self.file, self.line) if part is not None)
        field = f"{self.field}: " if self.field else ""
        lead = f"{place}: {field}" if place else field
        tail = f"; {self.advice}" if self.advice else ""
        return f"{lead}{self.message}{tail}"


def _rebuild(kind: type[PourwrightError], message: str, where: dict[str, object]) -> PourwrightError:
    return kind(message, **where)  # type: ignore[arg-type]


class InputError(PourwrightError):
    """The input cannot be used; nothing was changed."""

    exit_code = 2


class InputErrors(InputError):
    """Several input errors found in one reading, so that a person mends them in one go."""

    def __init__(self, errors: Sequence[InputError], **where: object) -> None:
        first = errors[0]
        super().__init__(
            first.message,
            advice=first.advice,
            file=first.file,
            line=first.line,
            field=first.field,
            value=first.value,
        )
        self.errors = tuple(errors)

    def __reduce__(self) -> tuple[object, ...]:
        return (InputErrors, (list(self.errors),))

    def sentence(self) -> str:
        return "\n".join(error.sentence() for error in self.errors)


class BadQuantity(InputError):
    """A typed quantity that cannot be read, or that lies outside its range."""


class UnknownName(InputError):
    """A name that no shelf or file knows."""


class CannotBuild(InputError):
    """Dimensions or wishes from which no solid can be made."""


class CannotRead(InputError):
    """A file that is missing, broken, too large, or not a closed solid."""


class CannotWrite(InputError):
    """A folder that refuses, or a disk that is full."""


class DoesNotFit(InputError):
    """Too large for the printer's bed, or for the pot."""


class Cancelled(PourwrightError):
    """The person stopped the work."""

    exit_code = 3


class KernelFault(PourwrightError):
    """A geometry kernel gave no usable result where one was due."""
