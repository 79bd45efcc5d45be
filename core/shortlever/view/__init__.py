"""The one view-model: a request as JSON text in, everything a screen shows as JSON text out."""

from shortlever.view.answer import answer, example_request
from shortlever.view.read import choices, form
from shortlever.view.words import CAUTIONS

__all__ = ["CAUTIONS", "answer", "choices", "example_request", "form"]
