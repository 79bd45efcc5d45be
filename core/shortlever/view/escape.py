"""Text inside SVG. The standard library has it too, in a module that brings thirty others to the phone."""


def escape(text: str) -> str:
    """For what stands between tags; not for attributes.

    >>> escape("bar < chest & rack")
    'bar &lt; chest &amp; rack'
    """
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
