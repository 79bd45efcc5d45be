"""The one view-model: a request as JSON text in, everything a screen shows as JSON text out."""

from shortlever.view.answer import answer, example_request, form

__all__ = ["answer", "example_request", "form"]
