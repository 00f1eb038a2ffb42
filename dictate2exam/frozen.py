"""The base of every model: frozen, and closed to unknown keys."""

from pydantic import BaseModel, ConfigDict


class Frozen(BaseModel):
    """A model whose instances cannot be changed and which refuses unknown keys."""

    model_config = ConfigDict(frozen=True, extra="forbid")
