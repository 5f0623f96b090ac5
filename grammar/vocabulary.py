"""What the grammar is told of a farm: its names, nothing of its state."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Protocol


class Vocabulary(Protocol):
    """The farm's own names. Two vocabularies that are equal are read alike, so implementations must be hashable."""

    def __hash__(self) -> int: ...

    @property
    def plots(self) -> Mapping[str, Sequence[str]]:
        """Plot -> its beds by whole name ("Brook 4")."""

    @property
    def crops(self) -> Sequence[str]:
        """Crops that the farm added itself."""

    @property
    def varieties(self) -> Sequence[str]: ...

    @property
    def customers(self) -> Sequence[str]: ...

    @property
    def people(self) -> Sequence[str]: ...

    @property
    def aliases(self) -> Sequence[tuple[str, str]]:
        """Ways of saying that the grower taught: (what is said, what is meant)."""


@dataclass(frozen=True)
class PlainVocabulary:
    """A vocabulary written out, for tests and for a farm without names."""

    plots: Mapping[str, Sequence[str]] = field(default_factory=dict)
    crops: Sequence[str] = ()
    varieties: Sequence[str] = ()
    customers: Sequence[str] = ()
    people: Sequence[str] = ()
    aliases: Sequence[tuple[str, str]] = ()

    def __hash__(self) -> int:
        return hash(
            (
                tuple(self.plots),
                tuple(self.crops),
                tuple(self.varieties),
                tuple(self.customers),
            )
        )
