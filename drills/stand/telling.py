"""What a task tells a page: small data, as JSON can hold it."""

from __future__ import annotations

from typing import Any

Told = dict[str, Any]
"""A table of names; ``files``, where there are any, are names with contents."""
