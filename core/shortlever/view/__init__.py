"""The one view-model: a request as JSON text in, everything a screen shows as JSON text out."""

from shortlever.fitting.request import choices, form
from shortlever.view.answer import answer, example_request

__all__ = ["answer", "choices", "example_request", "form"]
