"""What goes with the trees of a plan: spares, guards, stakes, mulch, water, fence, ripping."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from geolayout.errors import PlanError
from geolayout.plan.value import Count, Distance, Length, LonLat, Name, Value

__all__ = ["Planting"]

Percent = Annotated[float, Field(strict=True, ge=0, le=100)]
Amount = Annotated[float, Field(strict=True, gt=0, le=100_000, allow_inf_nan=False)]
Pieces = Annotated[int, Field(strict=True, ge=0, le=100)]
PerHectare = Annotated[float, Field(strict=True, gt=0, le=1_000_000, allow_inf_nan=False)]


class Planting(Value):
    """
    What is ordered and done beside the trees. What is left out is not ordered, and that is said.

    Attributes
    ----------
    spares_percent : float, optional
        Trees ordered beyond those that are set, of every species. [%]
    guards_per_tree, stakes_per_tree : int, optional
        How many, 0 for none.
    mulch_per_tree : float, optional
        [l]
    water_per_tree : float, optional
        At one watering. [l]
    waterings : int
        How often.
    water_from : (float, float), optional
        Longitude and latitude of the tap or bowser, for the hose. [degrees]
    fence : {"bands", "field"}, optional
        A fence round each piece of tree band, or along the field's edge.
    fence_opening : float
        Gateways left in all of it together. [m]
    rip_depth : float, optional
        Depth to which tree rows are ripped. [m]
    scheme : str, optional
        What the density bands belong to.
    density_bands : tuple of float
        Limits between the classes of a scheme, growing. [trees/ha]
    """

    spares_percent: Percent | None = None
    guards_per_tree: Pieces | None = None
    stakes_per_tree: Pieces | None = None
    mulch_per_tree: Amount | None = None
    water_per_tree: Amount | None = None
    waterings: Count = 1
    water_from: LonLat | None = None
    fence: Literal["bands", "field"] | None = None
    fence_opening: Distance = 0.0
    rip_depth: Length | None = None
    scheme: Name | None = None
    density_bands: tuple[PerHectare, ...] = ()

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if list(self.density_bands) != sorted(set(self.density_bands)):
            raise PlanError(
                f"The planting has density_bands = {list(self.density_bands)}.",
                "The limits grow, and none comes twice.",
                "Write them in order, such as density_bands = [30, 51, 131].",
            )
        if self.fence is None and self.fence_opening:
            raise PlanError(
                f"The planting has fence_opening = {self.fence_opening:g} and no fence.",
                "There is nothing to leave open.",
                'Add fence = "bands" or fence = "field", or take fence_opening away.',
            )
        return self

    def density_class(self, density: float) -> int:
        """
        Return how many of the limits a density reaches.

        Parameters
        ----------
        density : float
            [trees/ha]

        Examples
        --------
        >>> Planting(density_bands=(30.0, 51.0, 131.0)).density_class(123.5)
        2
        """
        return sum(density >= limit for limit in self.density_bands)
