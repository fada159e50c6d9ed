"""Where the drawn plan can be touched, pointed at or gone to by keys, and what it says there."""

from dataclasses import dataclass

from jobs.plans.hatches import Box


@dataclass(frozen=True)
class Touch:
    """A rectangle over what is drawn; `row` counts from the top, so that keys can go from row to row."""

    box: Box
    row: int
    says: str
    url: str

    @property
    def outline(self) -> str:
        return self.box.outline

    @property
    def x(self) -> float:
        return round(self.box.left, 1)

    @property
    def y(self) -> float:
        return round(self.box.top, 1)

    @property
    def width(self) -> float:
        return round(self.box.right - self.box.left, 1)

    @property
    def height(self) -> float:
        return round(self.box.bottom - self.box.top, 1)
